import { renderScene } from "../../src/scene/render.ts";
import { prepareScene } from "../../src/scene/scene.ts";
import { seatsOf } from "../../src/scene/seats.ts";
import { fixtureJob, scatteredHoles, sourceOf } from "./fixture.ts";

/** FNV-1a over the bytes of frames from every seat, at several times and dimmers: runs in Node and in a browser. */
export function frameHashes(): string[] {
  const job = fixtureJob({ scene: { tint: true } });
  const source = sourceOf(job, scatteredHoles(1590));
  const hashes: string[] = [];
  for (const seat of seatsOf(job, source.ceiling)) {
    const scene = prepareScene(source, { seat, widthPx: 640, heightPx: 400, samples: 1 });
    for (let i = 0; i < 10; i++) {
      const frame = renderScene(scene, { timeS: 0.37 * i, dimmer: 0.1 + 0.09 * i });
      let hash = 0x811c9dc5;
      for (const byte of frame) hash = Math.imul(hash ^ byte, 0x01000193) >>> 0;
      hashes.push(hash.toString(16));
    }
  }
  return hashes;
}
