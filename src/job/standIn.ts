import type { JobInput } from "./schema.ts";

/** What a new job holds until somebody says where and when, and what is on the van. Nobody's own sky, so that none is shown. */
export const STAND_IN = {
  title: "Not chosen yet",
  place: { name: "not chosen yet", latDeg: 0, lonDeg: 0 },
  moment: { utc: "2000-01-01T00:00:00Z" },
  stock: [{ diameterMm: 0.75, count: 1000 }],
} satisfies {
  title: string;
  place: JobInput["sky"]["options"][number]["place"];
  moment: JobInput["sky"]["options"][number]["moment"];
  stock: JobInput["strands"]["stock"];
};
