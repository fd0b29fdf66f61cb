import { JobFaults } from "../job/faults.ts";
import { nearestPlace, searchPlaces } from "../sky/places.ts";
import type { PlaceHit, Places } from "../sky/places.ts";
import { readNumber } from "./newJob.ts";

/** A place this many times larger than its next namesake is the one that is meant. */
const CLEARLY_LARGER = 10;

export interface FoundPlace {
  name: string;
  latDeg: number;
  lonDeg: number;
  zone: string;
  /** What was decided on the person's behalf. */
  note: string;
}

/** A place by its name, as "Bridgewater, Nova Scotia". Throws JobFaults listing the namesakes where it is not clear. */
export function placeByName(places: Places, text: string): FoundPlace {
  const hits = searchPlaces(places, text, 6);
  const [first, second] = hits;
  if (!first) {
    throw new JobFaults([
      {
        path: "--place",
        expected: "a town of the gazetteer",
        got: JSON.stringify(text.slice(0, 60)),
        next: 'Check the spelling, name a larger town nearby, or give coordinates: --at "44.38, -64.32".',
      },
    ]);
  }
  const alike = second && sameName(first, second) && first.people < CLEARLY_LARGER * second.people;
  if (alike) {
    throw new JobFaults([
      {
        path: "--place",
        expected: "one place",
        got: `${JSON.stringify(text.slice(0, 60))}: ${hits
          .filter((h) => sameName(h, first))
          .map(fullName)
          .join("; ")}`,
        next: 'Add region or country after a comma, as "Springfield, Illinois".',
      },
    ]);
  }
  const { latDeg, lonDeg, zone } = first;
  return { name: fullName(first), latDeg, lonDeg, zone, note: `Place: ${fullName(first)}, ${zone}` };
}

/** A place by `latitude, longitude` in degrees; the zone is that of the nearest town unless given. */
export function placeByCoordinates(places: Places, text: string, zone: string | undefined): FoundPlace {
  const parts = text.split(",");
  if (parts.length !== 2) {
    throw new JobFaults([
      {
        path: "--at",
        expected: '"latitude, longitude"',
        got: JSON.stringify(text.slice(0, 60)),
        next: 'As "44.38, -64.32".',
      },
    ]);
  }
  const [latDeg, lonDeg] = parts.map((part) => readNumber(part, "--at")) as [number, number];
  const near = nearestPlace(places, latDeg, lonDeg);
  return {
    name: near ? `near ${fullName(near)}` : "",
    latDeg,
    lonDeg,
    zone: zone ?? near?.zone ?? "UTC",
    note: zone
      ? `Zone: ${zone}`
      : `Zone ${near?.zone}, that of the nearest town, ${near ? fullName(near) : ""}`,
  };
}

const fullName = (p: PlaceHit): string => [p.name, p.region, p.country].filter(Boolean).join(", ");
const sameName = (a: PlaceHit, b: PlaceHit): boolean => a.name === b.name;
