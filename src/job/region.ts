import type { Job } from "./schema.ts";

/** Where different clauses are looked up. */
export const REGIONS = { us: "United States", gb: "Britain", eu: "European Union" } as const;
export type Region = keyof typeof REGIONS;

const BRITISH = /^(Europe\/(London|Belfast|Jersey|Guernsey|Isle_of_Man)|GB|GB-Eire)$/;
const EUROPEAN = /^(Europe\/|Atlantic\/(Canary|Madeira|Azores)$|Asia\/Nicosia$)/;
/** Zones of the United States in the IANA data. */
const AMERICAN =
  /^(US\/|America\/(New_York|Chicago|Denver|Los_Angeles|Phoenix|Anchorage|Detroit|Boise|Juneau|Sitka|Nome|Adak|Metlakatla|Yakutat|Menominee|Indiana\/|Kentucky\/|North_Dakota\/)|Pacific\/Honolulu$)/;

/** The region of the chosen sky's place, told by its time zone; null where it is none of these or is not known. */
export function regionOf(job: Job): Region | null {
  const moment = job.sky.options.find(({ id }) => id === job.sky.chosen)?.moment;
  const zone = moment && "zone" in moment ? String(moment.zone) : "";
  if (BRITISH.test(zone)) return "gb";
  if (EUROPEAN.test(zone)) return "eu";
  return AMERICAN.test(zone) ? "us" : null;
}
