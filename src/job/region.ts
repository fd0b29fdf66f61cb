import type { Job } from "./schema.ts";

/** Where different clauses are looked up. */
export const REGIONS = { us: "United States", gb: "Britain", eu: "European Union" } as const;
export type Region = keyof typeof REGIONS;

const BRITISH = /^(Europe\/(London|Belfast|Jersey|Guernsey|Isle_of_Man)|GB|GB-Eire)$/;
const EUROPEAN = /^(Europe\/|Atlantic\/(Canary|Madeira|Azores)$|Asia\/Nicosia$)/;
/** Zones of the United States in the IANA data. */
const AMERICAN =
  /^(US\/|America\/(New_York|Chicago|Denver|Los_Angeles|Phoenix|Anchorage|Detroit|Boise|Juneau|Sitka|Nome|Adak|Metlakatla|Yakutat|Menominee|Indiana\/|Kentucky\/|North_Dakota\/)|Pacific\/Honolulu$)/;

/** The region whose clocks these are, by the name of the time zone; null where it is none of these or is not known. */
export function regionOfZone(zone: string): Region | null {
  if (BRITISH.test(zone)) return "gb";
  if (EUROPEAN.test(zone)) return "eu";
  return AMERICAN.test(zone) ? "us" : null;
}

/** Time zone of the chosen night's place; "" where its moment is given in UTC. */
export function zoneOf(job: Pick<Job, "sky">): string {
  const moment = job.sky.options.find(({ id }) => id === job.sky.chosen)?.moment;
  return moment && "zone" in moment ? String(moment.zone) : "";
}

/** The region of the chosen night's place. */
export const regionOf = (job: Pick<Job, "sky">): Region | null => regionOfZone(zoneOf(job));
