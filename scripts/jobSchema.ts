// Writes the published JSON Schema of the job document: npx tsx scripts/jobSchema.ts
import { writeFileSync } from "node:fs";
import { documentSchema } from "../src/job/documentSchema.ts";

writeFileSync(
  new URL("../src/job/velarium-job.schema.json", import.meta.url),
  JSON.stringify(documentSchema(), null, 2) + "\n",
);
