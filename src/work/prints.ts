import { litPlan } from "../bundles/litPlan.ts";
import type { Bundles } from "../bundles/types.ts";
import type { Side } from "../ceiling/flip.ts";
import type { Warning } from "../job/faults.ts";
import type { Aim, Offer } from "../pattern/advice.ts";
import type { Planned } from "../plan.ts";
import type { Entry } from "../record/entry.ts";
import type { SheetOptions } from "../sheets/files.ts";
import type { PackOptions } from "../sheets/pack/files.ts";
import type { Changes } from "../sheets/pack/changes.ts";
import type { Paper } from "../sheets/papers.ts";
import type { SceneOptions } from "../scene/scene.ts";
import type { Scene } from "../scene/types.ts";
import { fromSky } from "./fromSky.ts";
import { row } from "./reads.ts";
import { catalogFor, planned, said, type Chosen, type Tools } from "./stage.ts";

/** How files are to be made. */
export interface Making {
  /** Called between pages or tiles; awaited, so that a caller may let other work in. */
  onProgress?: (done: number, total: number) => void | Promise<void>;
  /** Stops between pages or tiles with its own reason. */
  signal?: AbortSignal;
  /** Awaited where a large file is ended, so that the signal comes in. */
  pause?: () => Promise<void>;
  /** Told what could not be shown, e.g. characters that the font lacks. */
  onWarning?: (warning: Warning) => void;
  /** What happened at the bench and since: everything is drawn as built. */
  record?: readonly Entry[];
  /** PDFs to be opened in ten years (PDF/A); not in a browser. */
  forKeeping?: boolean;
}

export interface PlanHow extends Making {
  /** This file alone, by its path. */
  only?: string;
}

export interface SheetsHow extends PlanHow {
  /** Other than the job's. */
  paper?: string;
  sides?: readonly Side[];
  face?: SheetOptions["face"];
  listFew?: boolean;
  listed?: readonly string[];
  tiles?: readonly string[];
}

export interface PackHow extends Making {
  /** Since the revision printed last, if it was given. */
  changes?: Changes | null;
  /** This file alone, by name. */
  only?: string;
}

/** A view, without what the way itself knows. */
type SceneHow = Omit<SceneOptions, "lengthsM">;

/** How printed things are made. */
export const PRINTS = {
  plan: row("plan", {
    words: "Drawing sheets",
    load: (tools, chosen) =>
      Promise.all([import("../sheets/planFiles.ts"), forSheets(tools, chosen), import("./asBuilt.ts")]),
    make: (given, [{ streamPlan }, drawing, { builtOf, begunSaid }], { record, ...how }: PlanHow) => {
      const { plan, bundles } = builtOf(given, record);
      return streamPlan(
        { ...plan, warnings: [...said(given.warnings), ...begunSaid(given, record)] },
        { ...sheetOptions(bundles, drawing), ...how },
      );
    },
  }),
  sheets: row("sheets", {
    words: "Drawing sheets",
    load: (tools, chosen) =>
      Promise.all([import("../sheets/files.ts"), forSheets(tools, chosen), import("./asBuilt.ts")]),
    make: (given, [{ streamSheets }, drawing, { builtOf }], { record, ...how }: SheetsHow) => {
      const { plan, bundles } = builtOf(given, record);
      return streamSheets(plan, { ...sheetOptions(bundles, drawing), ...how });
    },
  }),
  bundleFiles: row("bundleFiles", {
    words: "Drawing labels",
    load: forPack,
    make: (given, drawing, { record, ...how }: PackHow) => {
      const { plan, bundles } = drawing[4].builtOf(given, record);
      return drawing[0].bundleFiles(plan, bundles, packOptions(drawing, how));
    },
  }),
  order: row("order", {
    words: "Drawing the order",
    load: forPack,
    make: (given, drawing, { record, ...how }: PackHow) => {
      const built = drawing[4].builtOf(given, record);
      const takeoff = drawing[4].takeoffAsBuilt(built, given.takeoff, record);
      return drawing[0].orderFiles(built.plan, built.bundles, takeoff, packOptions(drawing, how));
    },
  }),
  pack: row("pack", {
    words: "Drawing pages",
    load: (tools, chosen) => Promise.all([forPack(tools, chosen), import("../asBuilt/visits.ts")]),
    make: (given, [drawing, { visitsOf, dayIn }], { record, ...how }: PackHow) => {
      const built = drawing[4].builtOf(given, record);
      const takeoff = drawing[4].takeoffAsBuilt(built, given.takeoff, record);
      const since = record && {
        differences: built.differences,
        visits: visitsOf(record, dayIn(given.sky.instant.zone)),
      };
      return drawing[0].packFiles(built.plan, built.bundles, takeoff, {
        ...packOptions(drawing, how),
        ...since,
      });
    },
  }),
  skySheet: row("skySheet", {
    words: "Drawing the sky sheet",
    load: (tools, chosen) =>
      Promise.all([import("../sheets/shown.ts"), catalogFor(tools, chosen), tools.fonts(chosen.job)]),
    make: (
      given,
      [{ makeSkySheet }, { figures }, fonts],
      { paper, onWarning }: { paper: Paper } & Pick<Making, "onWarning">,
    ) => makeSkySheet(shining(given), figures, paper, fonts, onWarning),
  }),
  lit: row("lit", {
    words: "Drawing",
    load: () => null,
    make: (given) => litPlan({ plan: planned(given), bundles: given.bundles.bundles }),
  }),
  scene: row("scene", {
    words: "Drawing",
    load: () => import("../scene/scene.ts"),
    make: (given, { prepareScene }, how: SceneHow) => {
      const { plan, lengthsM } = litPlan({ plan: planned(given), bundles: given.bundles.bundles });
      return prepareScene(plan, { ...how, ...(lengthsM && { lengthsM }) });
    },
  }),
  sceneOfSky: row("sceneOfSky", {
    words: "Drawing",
    load: (tools, chosen) => Promise.all([import("../scene/realSky.ts"), catalogFor(tools, chosen)]),
    make: (given, [{ prepareRealSky }, catalog], how: SceneHow) =>
      prepareRealSky(planned(given), catalog, how),
  }),
  overlay: row("overlay", {
    words: "Drawing",
    load: (tools, chosen) => Promise.all([import("../scene/overlay.ts"), catalogFor(tools, chosen)]),
    make: (given, [{ makeOverlay, overlaySvg }, catalog], { camera }: Pick<Scene, "camera">) =>
      overlaySvg(makeOverlay(shining(given).pattern.holes, catalog), planned(given), camera),
  }),
  sceneByDay: row("sceneByDay", {
    words: "Drawing",
    load: () => import("../scene/scene.ts"),
    make: (given, { prepareLightsOn }, how: SceneHow) => prepareLightsOn(planned(given), how),
  }),
  advice: row("advice", {
    words: "Comparing strands",
    load: (tools, chosen) => Promise.all([import("../pattern/advice.ts"), catalogFor(tools, chosen)]),
    make: (given, [{ adviseStock }, catalog], { offers, aim }: { offers: readonly Offer[]; aim: Aim }) => {
      const { pattern, ...from } = fromSky(given, catalog);
      const { deeperShare: asideShare, faintestMagnitude } = pattern;
      return adviseStock({ ...from, asideShare, faintestMagnitude }, offers, aim);
    },
  }),
  facts: row("facts", {
    words: "Looking at the night",
    load: (tools, chosen) => Promise.all([import("../choose/facts.ts"), catalogFor(tools, chosen)]),
    make: (given, [{ nightFacts }, catalog]) => nightFacts(shining(given), catalog),
  }),
};

/** The plan with the holes that an engine lights; all where nobody has shared them out. */
const shining = (given: Parameters<typeof planned>[0]): Planned =>
  given.bundles ? litPlan({ plan: planned(given), bundles: given.bundles.bundles }).plan : planned(given);

type SheetDrawing = Awaited<ReturnType<typeof forSheets>>;

/** What drawing sheets takes long to load. */
function forSheets(tools: Tools, chosen: Chosen) {
  return Promise.all([
    tools.fonts(chosen.job),
    catalogFor(tools, chosen),
    import("../bundles/bundles.ts"),
    import("pdfkit"),
  ]);
}

function sheetOptions(bundles: Bundles, drawing: SheetDrawing): SheetOptions {
  const [fonts, { figures }, { engineOf }] = drawing;
  return { fonts, figures, engineOf: engineOf(bundles) };
}

function forPack(tools: Tools, chosen: Chosen) {
  return Promise.all([
    import("../sheets/pack/files.ts"),
    tools.fonts(chosen.job),
    catalogFor(tools, chosen),
    import("pdfkit"),
    import("./asBuilt.ts"),
  ]);
}

const packOptions = (
  [, fonts, { figures }]: Awaited<ReturnType<typeof forPack>>,
  { onProgress, ...how }: PackHow,
): PackOptions => ({
  fonts,
  figures,
  ...how,
  ...(onProgress && { onPage: onProgress }),
});
