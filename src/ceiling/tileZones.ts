import { boxesTouch, boxOf, intersect } from "../geometry/area.ts";
import type { Area } from "../geometry/types.ts";
import type { Ceiling, Tile } from "./types.ts";

/** What of a no-go zone lies on one tile. */
export interface TileZone {
  source: Ceiling["noGo"][number]["source"];
  thing: Area;
  withClearance: Area;
}

/** The no-go zones that touch a tile, cut to it; worked out once for each tile that is asked for. */
export function zonesByTile(ceiling: Ceiling): (tile: Tile) => TileZone[] {
  const known = new Map<string, TileZone[]>();
  const noGo = ceiling.noGo.map((zone) => ({ ...zone, box: boxOf(zone.grown) }));
  return (tile) => {
    let zones = known.get(tile.name);
    if (!zones) {
      zones = noGo.flatMap(({ source, shape, grown, box }) => {
        if (!boxesTouch(box, tile.box)) return [];
        const withClearance = intersect(grown, tile.outline);
        if (withClearance.length === 0) return [];
        return { source, thing: intersect(shape, tile.outline), withClearance };
      });
      known.set(tile.name, zones);
    }
    return zones;
  };
}
