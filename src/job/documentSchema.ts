import { z } from "zod";
import { joinPath } from "./json.ts";
import { jobSchema } from "./schema.ts";

/** As much of JSON Schema (draft 2020-12) as the job schema turns into. */
export interface SchemaNode {
  type?: string;
  const?: unknown;
  enum?: unknown[];
  minimum?: number;
  maximum?: number;
  exclusiveMinimum?: number;
  minLength?: number;
  maxLength?: number;
  minItems?: number;
  maxItems?: number;
  prefixItems?: SchemaNode[];
  items?: SchemaNode | false;
  properties?: Record<string, SchemaNode>;
  required?: string[];
  propertyNames?: SchemaNode;
  additionalProperties?: SchemaNode;
  anyOf?: SchemaNode[];
  oneOf?: SchemaNode[];
}

let made: SchemaNode | undefined;

/** The published JSON Schema of a job as a person may write it; `velarium-job.schema.json` holds the same. */
export function documentSchema(): SchemaNode {
  made ??= z.toJSONSchema(jobSchema, { io: "input" }) as SchemaNode;
  return made;
}

const isObject = (v: unknown): v is Record<string, unknown> =>
  typeof v === "object" && v !== null && !Array.isArray(v);

const branches = (node: SchemaNode): SchemaNode[] | undefined => node.anyOf ?? node.oneOf;

/** Which branch of a union a value is meant as: the one whose keys or kind it shares most; -1 if none. */
export function branchFor(node: SchemaNode, value: unknown): number {
  const score = (branch: SchemaNode): number => {
    if (Array.isArray(value)) return branch.type === "array" ? 1 : 0;
    if (!isObject(value)) return 0;
    if (branch.type !== "object") return 0;
    const properties = Object.entries(branch.properties ?? {});
    if (properties.some(([k, p]) => p.const !== undefined && value[k] !== p.const)) return 0;
    return 1 + properties.filter(([k]) => k in value).length;
  };
  const scores = (branches(node) ?? []).map(score);
  const best = Math.max(0, ...scores);
  return best === 0 ? -1 : scores.indexOf(best);
}

function step(node: SchemaNode, value: unknown, key: string | number): SchemaNode | undefined {
  const options = branches(node);
  if (options) {
    const branch = options[branchFor(node, value)];
    if (branch) return step(branch, value, key);
    const kinds = options.flatMap((o) => o.properties?.[key]?.const ?? []);
    return kinds.length > 0 ? { enum: kinds } : undefined;
  }
  if (typeof key === "number") return node.prefixItems?.[key] ?? (node.items || undefined);
  if (node.properties && Object.hasOwn(node.properties, key)) return node.properties[key];
  return node.propertyNames ? node.additionalProperties : undefined;
}

/** The schema of the place that `path` names in `document`; undefined where the schema says nothing. */
export function schemaAt(document: unknown, path: readonly (string | number)[]): SchemaNode | undefined {
  let node: SchemaNode | undefined = documentSchema();
  let value = document;
  for (const key of path) {
    node = node && step(node, value, key);
    value = valueAt(value, [key]);
  }
  return node;
}

export function valueAt(document: unknown, path: readonly (string | number)[]): unknown {
  let value = document;
  for (const key of path) {
    if (typeof value !== "object" || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<string | number, unknown>)[key];
  }
  return value;
}

/** Paths of keys that the schema does not know: somebody else's, or misspelt. */
export function unknownKeys(document: unknown): string[] {
  const found: string[] = [];
  const walk = (node: SchemaNode, value: unknown, path: string): void => {
    const entries: [string | number, unknown][] = Array.isArray(value)
      ? value.map((v, i) => [i, v])
      : isObject(value)
        ? Object.entries(value)
        : [];
    for (const [key, inner] of entries) {
      const known = step(node, value, key);
      if (known) walk(known, inner, joinPath(path, key));
      else if (typeof key === "string") found.push(joinPath(path, key));
    }
  };
  walk(documentSchema(), document, "");
  return found;
}

/** What a place in the document takes, in plain words. */
export function describe(node: SchemaNode): string {
  const options = branches(node);
  if (options) return options.map(describe).join(", or ");
  if (node.const !== undefined) return JSON.stringify(node.const);
  if (node.enum) return `one of ${node.enum.map((v) => String(v)).join(", ")}`;
  switch (node.type) {
    case "number":
    case "integer":
      return `a ${node.type === "integer" ? "whole number" : "number"}${range(node)}`;
    case "string":
      return `text of ${node.minLength ? `${node.minLength} to` : "at most"} ${node.maxLength ?? "any number of"} characters`;
    case "boolean":
      return "true or false";
    case "null":
      return "null";
    case "array":
      if (node.prefixItems) return `[${node.prefixItems.map(describe).join(", ")}]`;
      return `a list of ${node.minItems ?? 0} to ${node.maxItems ?? "any number of"} entries`;
    case "object":
      return node.required ? `{ } with ${node.required.join(", ")}` : "{ }";
    default:
      return "something else";
  }
}

function range(node: SchemaNode): string {
  const { minimum, maximum, exclusiveMinimum } = node;
  if (exclusiveMinimum !== undefined) return ` above ${exclusiveMinimum}, at most ${maximum}`;
  if (minimum !== undefined && maximum !== undefined) return ` from ${minimum} to ${maximum}`;
  return "";
}

/** A value as found, short enough for one line. */
export function shorten(value: unknown): string {
  if (value === undefined) return "nothing";
  if (typeof value === "number") return String(value);
  if (Array.isArray(value) && JSON.stringify(value).length > 60) return `a list of ${value.length} entries`;
  const text = JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
