import eslint from "@eslint/js";
import tseslint from "typescript-eslint";
import svelte from "eslint-plugin-svelte";

export default tseslint.config(
  { ignores: ["dist/", "build/", "out/", "catalog/", "node_modules/"] },
  eslint.configs.recommended,
  ...tseslint.configs.recommended,
  ...svelte.configs.recommended,
  {
    files: ["src/**/*.ts", "scripts/**/*.ts", "tests/**/*.ts"],
    languageOptions: { parserOptions: { projectService: true } },
    rules: { "@typescript-eslint/no-floating-promises": "error" },
  },
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: { parserOptions: { parser: tseslint.parser } },
  },
  { files: ["src/**", "scripts/**"], rules: { "max-params": ["error", 5] } },
  {
    // what runs together (vitest.config.ts) must leave the world as it is
    files: ["tests/**/*.test.ts"],
    ignores: ["tests/{app,cli}/**", "tests/sky/project.test.ts"],
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
