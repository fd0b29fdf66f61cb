import {
  nearestPlace,
  PLACES_FILE_NAME,
  type PlaceHit,
  type Places,
  readPlaces,
  searchPlaces,
} from "../../../../sky/places.ts";
import { fetchBytes } from "../../../worker/catalogFetch.ts";

let places: Promise<Places> | null = null;

/** The gazetteer, fetched when a place is first looked for. A failed fetch is tried again at the next call. */
function gazetteer(): Promise<Places> {
  places ??= fetchBytes(PLACES_FILE_NAME)
    .then(readPlaces)
    .catch((error: unknown) => {
      places = null;
      throw error;
    });
  return places;
}

export async function findPlaces(text: string, limit: number): Promise<PlaceHit[]> {
  return searchPlaces(await gazetteer(), text, limit);
}

export async function placeNearest(latDeg: number, lonDeg: number): Promise<PlaceHit | null> {
  return nearestPlace(await gazetteer(), latDeg, lonDeg) ?? null;
}
