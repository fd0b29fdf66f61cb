import eslint from "@eslint/js";
import tseslint from "typescript-eslint";
import svelte from "eslint-plugin-svelte";

export default tseslint.config(
  { ignores: ["dist/", "build/", "out/", "catalog/", "node_modules/"] },
  eslint.configs.recommended,
  ...tseslint.configs.recommended,
  ...svelte.configs.recommended,
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: { parserOptions: { parser: tseslint.parser } },
  },
  { files: ["src/**", "scripts/**"], rules: { "max-params": ["error", 5] } },
  {
    files: ["src/**"],
    ignores: ["src/geometry/um.ts"],
    rules: { "no-restricted-syntax": ["error", ...micrometres()] },
  },
  {
    // what runs together (vitest.config.ts) must leave the world as it is
    files: ["tests/**/*.test.ts"],
    ignores: [
      "tests/app/browser/**",
      "tests/app/state/{live,seldom,sharing,studio}.test.ts",
      "tests/app/share/{kills,terminalCode}.test.ts",
      "tests/cli/{disk,output}.test.ts",
      "tests/sky/project.test.ts",
    ],
    rules: {
      "no-restricted-imports": ["error", { paths: [{ name: "vitest", importNames: ["vi"] }] }],
      "no-restricted-syntax": [
        "error",
        {
          selector:
            "AssignmentExpression > MemberExpression[object.object.name='process'][object.property.name='env']",
          message: "Name the file in ALONE of vitest.config.ts.",
        },
        {
          selector: "AssignmentExpression > MemberExpression[object.name=/^(globalThis|Math|Date)$/]",
          message: "Name the file in ALONE of vitest.config.ts.",
        },
      ],
    },
  },
  {
    rules: {
      "no-undef": "off",
      // "_" is said of what is left out on purpose
      "@typescript-eslint/no-unused-vars": [
        "error",
        { varsIgnorePattern: "^_+$", argsIgnorePattern: "^_+$" },
      ],
    },
  },
);

/** Micrometres become millimetres, and these those, by src/geometry/um.ts alone (metres are another matter). */
function micrometres() {
  const named = (operator, name) =>
    ["left", "left.object", "left.expression", "left.expression.object"]
      .flatMap((of) => [`${of}.name`, `${of}.property.name`])
      .map((where) => ({
        selector: `BinaryExpression[operator='${operator}'][right.value=1000][${where}=${name}]`,
        message: "Convert by toUm, toMm or UM_PER_MM of src/geometry/um.ts.",
      }));
  return [...named("*", "/Mm$|^mm$/"), ...named("/", "/Um$|^um$|^(min|max)[XY]$/")];
}
