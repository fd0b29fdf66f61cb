import { milkyWayLevel } from "../sky/catalog.ts";
import type { MilkyWayMap, StarTable } from "../sky/types.ts";
import type { TilePoint } from "./corners.ts";
import { Fate } from "./fate.ts";
import { lightOf } from "./light.ts";
import { seededRandom } from "./random.ts";
import type { Settlement } from "./settlement.ts";

/**
 * How quickly stars are left out below the limit of brightness: by 1.5 times their loss in light, 10^(-0.6 dm).
 * The sky has about 10^(0.45 dm) times as many (Allen's Astrophysical Quantities, 4th ed. 2000, star counts; from
 * memory), so what is drawn thins out slowly instead of stopping.
 */
const FADING = 1.5;
/** Candidates looked at for each hole wanted: beyond that the odds are too small to matter. */
const CANDIDATES_PER_HOLE = 40;

export interface Deeper {
  stars: StarTable;
  milkyWay: MilkyWayMap;
  /** How strongly they follow the Milky Way: 0 as the catalogue has them, 1 wholly. */
  strength: number;
  seed: number;
}

/**
 * Gives holes to stars beyond the limit of brightness, `want` of them where the catalogue has so many. Which
 * ones is a matter of chance, each by its own number and the seed: the odds fall with brightness and rise with
 * the light of the Milky Way behind the star, so that the ceiling has no last magnitude and its faintest points
 * lie where the sky is bright. There are plenty, so nothing need give way for them: those whose true place is a free
 * usable point come first, and the rest are moved only where there are too few of these. None is taken that has a
 * placed one truly beside it.
 */
export function drawDeeper(s: Settlement, deeper: Deeper, want: number): void {
  const { room, board, objects, stop } = s.input;
  const goal = board.count + want;
  const settle = (i: number, place: TilePoint) => {
    s.settleAt(i, place);
    s.deeper[i] = 1;
  };
  const crowded: number[] = [];
  for (const i of inOrderOfChance(s, deeper, want)) {
    if (board.count >= goal) return;
    stop();
    if (s.besidePlaced(i) || s.givesAirTo(i) >= 0) continue;
    const x = objects.x[i]!;
    const y = objects.y[i]!;
    const tile = room.tileAt(x, y);
    if (tile >= 0 && s.open(tile) && !board.blocked(x, y)) settle(i, { x, y, tile });
    else crowded.push(i);
  }
  for (const i of crowded) {
    if (board.count >= goal) return;
    stop();
    const spot = s.besidePlaced(i) ? null : s.nearest(i, s.open);
    if (spot) settle(i, spot);
  }
}

/** Objects beyond the limit, each drawn with odds in proportion to its weight while there are many. */
function inOrderOfChance(s: Settlement, deeper: Deeper, want: number): number[] {
  const { objects } = s.input;
  const { stars, milkyWay, strength, seed } = deeper;
  const found: number[] = [];
  for (let i = s.cursor; i < objects.count && found.length < want * CANDIDATES_PER_HOLE; i++)
    if (s.fate[i] === Fate.untouched && objects.row[i]! >= 0) found.push(i);
  if (!found.length) return found;
  const level = found.map((i) => {
    const row = objects.row[i]!;
    return strength > 0 ? milkyWayLevel(milkyWay, stars.x[row]!, stars.y[row]!, stars.z[row]!) : 0;
  });
  const mean = level.reduce((sum, l) => sum + l, 0) / found.length;
  const limit = objects.magnitudeMilli[found[0]!]!;
  const key = found.map((i, k) => {
    const light = mean > 0 ? 1 - strength + (strength * level[k]!) / mean : 1;
    const odds = light * lightOf(Math.round((objects.magnitudeMilli[i]! - limit) * FADING));
    return (seededRandom(seed, objects.hip[i]!).next() + 1) / odds;
  });
  return found
    .map((i, k) => ({ i, key: key[k]! }))
    .sort((p, q) => (p.key < q.key ? -1 : p.key > q.key ? 1 : p.i - q.i))
    .map(({ i }) => i);
}
