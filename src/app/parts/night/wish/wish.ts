import type { Job } from "../../../../job/schema.ts";
import type { Night } from "../../../../job/sections/sky.ts";
import type { BodyName } from "../../../../sky/types.ts";
import type { Seat, Wish } from "../worker/api.ts";

/** A wish as filled in: hours as "20:00", figures by IAU abbreviation, a wall by number. */
export interface Filled {
  date: string;
  from: string;
  to: string;
  figures: string[];
  bodies: BodyName[];
  /** Walls that figures are to stand over, by abbreviation. */
  over: Record<string, number>;
  /** Degrees they may be turned from upright; 180 is any way. */
  mostTurnedDeg: number;
  milkyWay: boolean;
  wall: number | null;
  dark: boolean;
}

const MS_PER_DAY = 86_400_000;

/** The evening a night belongs to: hours after midnight are of the day before. */
export function eveningOf({ moment }: Pick<Night, "moment">): string {
  const local = "local" in moment ? String(moment.local) : String(moment.utc);
  const early = Number(local.slice(11, 13)) < 12;
  return early ? dayAfter(local.slice(0, 10), -1) : local.slice(0, 10);
}

export function dayAfter(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * MS_PER_DAY).toISOString().slice(0, 10);
}

/** The wish as the search takes it, judged from a seat: hours before noon are those of the next morning. */
export function wishOf(form: Filled, job: Job, night: Night, seat?: Seat): Wish {
  const evening = form.date || eveningOf(night);
  const at = (time: string): string => `${time < "12:00" ? dayAfter(evening, 1) : evening}T${time}`;
  return {
    place: night.place,
    zone: "local" in night.moment ? String(night.moment.zone) : "UTC",
    fromLocal: at(form.from),
    toLocal: at(form.to),
    constellations: form.figures,
    bodies: form.bodies,
    overWalls: Object.fromEntries(
      Object.entries(form.over).filter(
        ([figure, wall]) => form.figures.includes(figure) && wall < job.ceiling.outlineMm.length,
      ),
    ),
    ...(form.mostTurnedDeg < 180 && form.figures.length > 0 && { mostTurnedDeg: form.mostTurnedDeg }),
    ...(seat && { seatMm: seat.atMm }),
    milkyWay: form.milkyWay,
    dark: form.dark,
    ...(form.wall !== null && form.wall < job.ceiling.outlineMm.length && { milkyWayAlongWall: form.wall }),
  };
}
