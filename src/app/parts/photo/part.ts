import type { Part } from "../../stage/part.ts";
import FindingsPanel from "./FindingsPanel.svelte";
import { photo } from "./photo.svelte.ts";
import PhotoCover from "./PhotoCover.svelte";
import PicturesPanel from "./PicturesPanel.svelte";

/** The dark test by photograph: every strand of the hung ceiling, or of a tile on the bench, judged from pictures. */
export const photoPart: Part = {
  id: "photo",
  sections: [
    {
      id: "pictures",
      title: "Pictures",
      panel: PicturesPanel,
      summary: () => (photo.shots.length > 0 ? String(photo.shots.length) : ""),
      faulty: () => photo.shots.some((shot) => shot.refused !== "" || shot.report?.placing === null),
    },
    {
      id: "findings",
      title: "Findings",
      panel: FindingsPanel,
      summary: () => (photo.test ? `${photo.test.counts.dead} dead` : ""),
    },
  ],
  cover: () => (photo.shots.length > 0 ? PhotoCover : null),
};
