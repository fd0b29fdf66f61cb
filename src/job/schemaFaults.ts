import type { z } from "zod";
import { branchFor, describe, schemaAt, shorten, valueAt } from "./documentSchema.ts";
import type { Fault } from "./faults.ts";
import { joinPath } from "./json.ts";

type Issue = z.core.$ZodIssue;
type Path = (string | number)[];

/** A document path as people and other tools read it: `ceiling.noGo[2].circle.radiusMm`. */
export function pathText(path: readonly PropertyKey[]): string {
  return (path as Path).reduce<string>((text, key) => joinPath(text, key), "");
}

/** What zod found, as faults a person can act on. */
export function schemaFaults(document: unknown, issues: readonly Issue[], base: Path = []): Fault[] {
  return issues.flatMap((issue) => {
    const path = [...base, ...(issue.path as Path)];
    const value = valueAt(document, path);
    const node = schemaAt(document, path);
    if (issue.code === "invalid_union" && node) {
      const inner = issue.errors[branchFor(node, value)];
      if (inner && inner.length > 0) return schemaFaults(document, inner, path);
    }
    if (issue.code === "invalid_key") {
      const key = path.at(-1) as string;
      return [
        { path: pathText(path), expected: "a shorter name", got: shorten(key), next: "Shorten the key." },
      ];
    }
    return [
      {
        path: path.length === 0 ? "(whole file)" : pathText(path),
        expected: node ? describe(node) : issue.message,
        got: found(issue, value),
        next: hint(issue, value),
      },
    ];
  });
}

function found(issue: Issue, value: unknown): string {
  if (Array.isArray(value) && (issue.code === "too_small" || issue.code === "too_big")) {
    return `${value.length} ${value.length === 1 ? "entry" : "entries"}`;
  }
  if (typeof value === "string" && issue.code === "too_big") return `${value.length} characters`;
  return shorten(value);
}

function hint(issue: Issue, value: unknown): string {
  if (value === undefined) return "Add it.";
  switch (issue.code) {
    case "too_small":
    case "too_big":
      return Array.isArray(value) ? "Change the list." : "Write a value within these limits.";
    case "invalid_value":
      return "Write it exactly so.";
    case "invalid_type":
      return typeof value === "string" && value.trim() !== "" && Number.isFinite(Number(value))
        ? "Write the number without quotes."
        : "Write it in this form.";
    default:
      return "Write it in this form.";
  }
}
