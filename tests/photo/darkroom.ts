import sharp from "sharp";

/**
 * Photographs of lit ceilings that never were, with their truth. Nothing of src is used: the room is right-handed
 * (x and y of the plan as seen from above, z up), the camera has a place, a direction and a top, and what it sees
 * follows from vectors alone; that looking up mirrors the plan is an outcome, not a rule. Lens: pinhole, then
 * r (1 + k1 r^2) in focal lengths (Brown's first radial term). Light: a Gaussian or Moffat spot, integrated over
 * pixels; cosine-to-the-fourth vignetting; photon and read noise; a glow over the room; clipping; sRGB; JPEG by sharp.
 */
export interface Dot {
  xMm: number;
  yMm: number;
  /** Light beside the others, before distance, cone and lens. */
  light: number;
}

export interface Pose {
  /** Spot of the ceiling in the middle of the picture. */
  targetMm: [number, number];
  /** From the camera to that spot. */
  distanceMm: number;
  /** Between the view and straight up. */
  tiltDeg: number;
  /** Where the camera leans to, counted on the plan. */
  leanDeg: number;
  rollDeg: number;
  /** Focal length in pixels. */
  focalPx: number;
  k1: number;
  widthPx: number;
  heightPx: number;
}

export interface Exposure {
  /** Height of a spot of light 1 seen straight from `atMm`, 1 is white. */
  gain: number;
  atMm: number;
  /** Standard deviation of a spot. */
  blurPx: number;
  moffat?: boolean;
  /** Read noise in light, and electrons at white for photon noise. */
  noise: number;
  fullWell: number;
  glow: number;
  /** Cosine of the cone's edge (numerical aperture 0.5: 0.866), and what is seen outside it. */
  coneCosine: number;
  scatter: number;
  quality: number;
  seed: number;
  /** How far the phone moved meanwhile, in pixels to the right and downward. */
  smear?: [number, number];
  /** A window behind one tile (its corners on the plan): so bright, and `veil` of it strays over the tile's dark side. */
  window?: { cornersMm: readonly [number, number][]; light: number; veil: number };
}

export const USUAL: Exposure = {
  gain: 0.5,
  atMm: 1800,
  blurPx: 1.3,
  noise: 0.0006,
  fullWell: 6000,
  glow: 0.004,
  coneCosine: 0.866,
  scatter: 0.35,
  quality: 92,
  seed: 1,
};

/** Mulberry32: small, seeded, not the product's. */
export function chance(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export const normal = (random: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

type Vector = [number, number, number];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Where the camera sees a spot of the ceiling: pixels from the upper left corner, distance and slant; null behind it. */
export function seen(
  pose: Pose,
  xMm: number,
  yMm: number,
): { xPx: number; yPx: number; distanceMm: number; slantCosine: number; axisCosine: number } | null {
  const [tilt, lean, roll] = [pose.tiltDeg, pose.leanDeg, pose.rollDeg].map((d) => (d * Math.PI) / 180) as [
    number,
    number,
    number,
  ];
  const forward: Vector = [Math.sin(tilt) * Math.cos(lean), Math.sin(tilt) * Math.sin(lean), Math.cos(tilt)];
  const sideways: Vector = [-Math.sin(lean), Math.cos(lean), 0];
  const over = cross(sideways, forward);
  const top: Vector = [0, 1, 2].map(
    (i) => sideways[i]! * Math.cos(roll) + over[i]! * Math.sin(roll),
  ) as Vector;
  const right = cross(forward, top);
  const d = pose.distanceMm;
  const eye: Vector = [pose.targetMm[0] - d * forward[0], pose.targetMm[1] - d * forward[1], -d * forward[2]];
  const ray: Vector = [xMm - eye[0], yMm - eye[1], -eye[2]];
  const depth = dot(ray, forward);
  if (depth <= 1) return null;
  const [u, v] = [dot(ray, right) / depth, -dot(ray, top) / depth];
  const r2 = u * u + v * v;
  // a lens is not used beyond where its bend turns back
  if (1 + 3 * pose.k1 * r2 < 0.2) return null;
  const bend = 1 + pose.k1 * r2;
  const distanceMm = Math.sqrt(dot(ray, ray));
  return {
    xPx: pose.widthPx / 2 + pose.focalPx * u * bend,
    yPx: pose.heightPx / 2 + pose.focalPx * v * bend,
    distanceMm,
    slantCosine: ray[2] / distanceMm,
    axisCosine: depth / distanceMm,
  };
}

export const inFrame = (pose: Pose, at: { xPx: number; yPx: number } | null, margin = 0): boolean =>
  at !== null &&
  at.xPx >= margin &&
  at.yPx >= margin &&
  at.xPx < pose.widthPx - margin &&
  at.yPx < pose.heightPx - margin;

/** A light that is no strand: at a place of the picture, with its own width and colour. */
export interface Stray {
  xPx: number;
  yPx: number;
  light: number;
  sigmaPx: number;
}

/** The picture as linear light, 1 is white. */
export function expose(
  dots: readonly Dot[],
  strays: readonly Stray[],
  pose: Pose,
  e: Exposure,
): Float32Array {
  const { widthPx, heightPx } = pose;
  const out = new Float32Array(widthPx * heightPx);
  const random = chance(e.seed);
  const [gx, gy] = [random() * widthPx, random() * heightPx];
  const reach = Math.hypot(widthPx, heightPx) * (0.4 + 0.4 * random());
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const far = ((x - gx) ** 2 + (y - gy) ** 2) / reach ** 2;
      out[y * widthPx + x] = e.glow * (0.25 + 1.5 / (1 + 4 * far));
    }
  if (e.window) shade(out, pose, e.window);
  for (const { xMm, yMm, light } of dots) {
    const at = seen(pose, xMm, yMm);
    if (!at || !inFrame(pose, at, -20)) continue;
    const edge = Math.min(1, Math.max(0, (at.slantCosine - e.coneCosine + 0.1) / 0.2));
    const cone = e.scatter + (1 - e.scatter) * edge * edge * (3 - 2 * edge);
    const vignette = at.axisCosine ** 4;
    const height = e.gain * light * cone * vignette * (e.atMm / at.distanceMm) ** 2;
    stamp(out, widthPx, heightPx, at.xPx, at.yPx, height, e.blurPx, e.moffat ?? false, e.smear);
  }
  for (const s of strays) stamp(out, widthPx, heightPx, s.xPx, s.yPx, s.light, s.sigmaPx, false, e.smear);
  for (let i = 0; i < out.length; i++) {
    const v = Math.max(0, out[i]!);
    out[i] = v + normal(random) * Math.sqrt(e.noise ** 2 + v / e.fullWell);
  }
  return out;
}

/** The window shines where the tile is not: beside its edges as the lens bends them. */
function shade(
  out: Float32Array,
  pose: Pose,
  { cornersMm, light, veil }: NonNullable<Exposure["window"]>,
): void {
  const PARTS = 40;
  const edge = cornersMm.flatMap(([ax, ay], k) => {
    const [bx, by] = cornersMm[(k + 1) % cornersMm.length]!;
    return Array.from({ length: PARTS }, (_, i) => seen(pose, ax + ((bx - ax) * i) / PARTS, ay + ((by - ay) * i) / PARTS)!); // prettier-ignore
  });
  for (let y = 0; y < pose.heightPx; y++) {
    const crossings = edge.flatMap((a, k) => {
      const b = edge[(k + 1) % edge.length]!;
      const v = y + 0.5;
      return a.yPx > v === b.yPx > v ? [] : [a.xPx + ((v - a.yPx) * (b.xPx - a.xPx)) / (b.yPx - a.yPx)];
    });
    crossings.sort((p, q) => p - q);
    let [next, inside] = [0, false];
    for (let x = 0; x < pose.widthPx; x++) {
      for (; next < crossings.length && crossings[next]! < x + 0.5; next++) inside = !inside;
      // brighter toward the sky
      out[y * pose.widthPx + x]! += light * (inside ? veil : 1.2 - (0.4 * y) / pose.heightPx);
    }
  }
}

function stamp(
  out: Float32Array,
  widthPx: number,
  heightPx: number,
  x: number,
  y: number,
  height: number,
  sigma: number,
  moffat: boolean,
  smear?: [number, number],
): void {
  const steps = smear ? Math.max(1, Math.ceil(Math.hypot(...smear))) : 1;
  const reach = Math.ceil((moffat ? 12 : 5) * sigma);
  for (let k = 0; k < steps; k++) {
    const cx = x + (smear ? smear[0] * (k / steps - 0.5) : 0);
    const cy = y + (smear ? smear[1] * (k / steps - 0.5) : 0);
    for (
      let j = Math.max(0, Math.floor(cy) - reach);
      j <= Math.min(heightPx - 1, Math.floor(cy) + reach);
      j++
    )
      for (
        let i = Math.max(0, Math.floor(cx) - reach);
        i <= Math.min(widthPx - 1, Math.floor(cx) + reach);
        i++
      ) {
        let sum = 0;
        for (let b = 0; b < 3; b++)
          for (let a = 0; a < 3; a++) {
            const r2 = (i + (a + 0.5) / 3 - cx) ** 2 + (j + (b + 0.5) / 3 - cy) ** 2;
            sum += moffat ? (1 + r2 / (2.3 * sigma * sigma)) ** -2.5 : Math.exp(-r2 / (2 * sigma * sigma));
          }
        out[j * widthPx + i]! += (height * sum) / 9 / steps;
      }
  }
}

/** sRGB pixels, three channels, slightly warm. */
export function develop(light: Float32Array): Uint8Array {
  const table = Uint8Array.from({ length: 65536 }, (_, i) => {
    const v = i / 65535;
    return Math.round(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055));
  });
  const out = new Uint8Array(light.length * 3);
  const coded = (v: number) => table[Math.min(65535, Math.max(0, Math.round(v * 65535)))]!;
  for (let i = 0; i < light.length; i++) {
    out[3 * i] = coded(light[i]! * 1.08);
    out[3 * i + 1] = coded(light[i]!);
    out[3 * i + 2] = coded(light[i]! * 0.85);
  }
  return out;
}

export const toJpeg = (pixels: Uint8Array, pose: Pose, quality: number): Promise<Buffer> =>
  sharp(pixels, { raw: { width: pose.widthPx, height: pose.heightPx, channels: 3 } })
    .jpeg({ quality })
    .toBuffer();

/** The photograph as a camera would give it. */
export async function photograph(
  dots: readonly Dot[],
  strays: readonly Stray[],
  pose: Pose,
  exposure: Partial<Exposure> = {},
): Promise<Buffer> {
  const e = { ...USUAL, ...exposure };
  return toJpeg(develop(expose(dots, strays, pose, e)), pose, e.quality);
}

/** Pixels again, through JPEG. */
export async function pixelsOf(
  jpeg: Buffer,
): Promise<{ pixels: Uint8Array; widthPx: number; heightPx: number }> {
  const { data, info } = await sharp(jpeg).autoOrient().removeAlpha().toColourspace("srgb").raw().toBuffer({ resolveWithObject: true }); // prettier-ignore
  return { pixels: data, widthPx: info.width, heightPx: info.height };
}

/** A pose by chance under a ceiling, with at least so many of its dots in the frame. */
export function poseByChance(
  random: () => number,
  dots: readonly Dot[],
  { least = 300, widthPx = 4000, heightPx = 3000 } = {},
): Pose {
  const box = [Math.min, Math.max].map((f) => [f(...dots.map((d) => d.xMm)), f(...dots.map((d) => d.yMm))]);
  const [low, high] = box as [[number, number], [number, number]];
  for (;;) {
    const upright = random() < 0.4;
    const pose: Pose = {
      targetMm: [
        low[0] + (high[0] - low[0]) * (0.15 + 0.7 * random()),
        low[1] + (high[1] - low[1]) * (0.15 + 0.7 * random()),
      ],
      distanceMm: 1300 + 2200 * random(),
      tiltDeg: 55 * random(),
      leanDeg: 360 * random(),
      rollDeg: 360 * random(),
      focalPx: 4000 * (0.55 + 0.4 * random()),
      k1: 0.3 * random() - 0.15,
      widthPx: upright ? heightPx : widthPx,
      heightPx: upright ? widthPx : heightPx,
    };
    if (dots.filter((d) => inFrame(pose, seen(pose, d.xMm, d.yMm), 10)).length >= least) return pose;
  }
}
