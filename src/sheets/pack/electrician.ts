import { ENGINE_PLACE_WORDS } from "../../job/codeWords.ts";
import type { Bundles } from "../../bundles/types.ts";
import { BLANK, type PackDocument } from "./document.ts";
import { lengthWords, placeWords } from "./words.ts";

/** One page to hand to the electrician: what there is and where, and lines for what they decide. */
export function electricianSection(doc: PackDocument, bundles: Bundles): void {
  const { context } = doc;
  const entries = context.plan.job.bundles.engines;
  doc.section("For the electrician", true);
  doc.write(
    "Light engines of this ceiling. What is written here is what we know; the rest is yours to decide and to write in, by the local code and the makers' instructions. Flexible cords do not go above a suspended ceiling.",
    3.2,
  );
  const watts = entries.map((engine) => engine.watts);
  doc.table(
    [
      { title: "engine", share: 1, bold: true },
      { title: "where", share: 4.6 },
      { title: "power", share: 1.6 },
      { title: "supply, circuit", share: 2.2 },
      { title: "isolation", share: 1.8 },
      { title: "switch and dimmer", share: 2.2 },
      { title: "ventilation, access", share: 2.2 },
      { title: "done, initials", share: 1.6 },
    ],
    bundles.engines.map(({ letter, name, atMm }) => {
      const entry = entries.find((engine) => engine.letter === letter)!;
      const height =
        entry.heightMm === null
          ? "at the height of the runs"
          : `port ${lengthWords(context, entry.heightMm)} above the floor`;
      const where = [name, ENGINE_PLACE_WORDS[entry.place], placeWords(context, atMm), height]
        .filter(Boolean)
        .join("; ");
      return [
        letter,
        where,
        entry.watts === null ? "not given" : `${entry.watts} W`,
        BLANK,
        BLANK,
        BLANK,
        BLANK,
        BLANK,
      ];
    }),
    { leastRowMm: 16 },
  );
  const known = watts.filter((w) => w !== null);
  doc.write(
    known.length === watts.length && watts.length > 0
      ? `All engines together: ${known.reduce((sum, w) => sum + w, 0)} W, as typed into the job.`
      : "The power of some engines is not given: read it off their plates.",
    3.2,
  );
  doc.heading("Who does what");
  doc.table(
    [
      { title: "work", share: 4 },
      { title: "who", share: 2 },
    ],
    [
      ["supply, protection, isolation, switch and dimmer for each engine", "electrician"],
      ["place of each engine: agreed by both before anything is fixed", BLANK],
      ["strand from port to ceiling, ports filled and cut", "installer"],
      ["test of the electrical work, and its papers", "electrician"],
      ["dark test with every engine on and dimmed", "both"],
    ],
    { leastRowMm: 6.5 },
  );
}
