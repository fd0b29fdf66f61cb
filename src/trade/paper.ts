import { COMMON_PRACTICE, FROM_MEMORY, type Fact } from "./fact.ts";

/** Printers and paper. */
export const PAPER_FACTS = {
  desktopMarginMm: {
    what: "Edge that a desktop printer leaves white",
    value: 6,
    unit: "mm",
    range: [3, 6],
    source: `${FROM_MEMORY}, and ${COMMON_PRACTICE}`,
  },
  plotterSideMm: {
    what: "Side edge that a roll plotter leaves white",
    value: 5,
    unit: "mm",
    range: [3, 5],
    source: `${FROM_MEMORY}, and ${COMMON_PRACTICE}`,
  },
  plotterTrailMm: {
    what: "Trailing edge that a roll plotter leaves white",
    value: 17,
    unit: "mm",
    source: `${FROM_MEMORY}, and ${COMMON_PRACTICE}`,
  },
  barMm: { what: "Length of the bars that prove the scale", value: 150, unit: "mm", source: COMMON_PRACTICE },
  barToleranceMm: {
    what: "A bar of 150 mm read to this shows 0.2 %",
    value: 0.3,
    unit: "mm",
    source: "worked out: 150 mm x 0.2 %",
  },
  cardWidthMm: {
    what: "A bank card is wide (format ID-1)",
    value: 85.6,
    unit: "mm",
    source: "ISO/IEC 7810:2019, ID-1",
  },
  cardHeightMm: {
    what: "A bank card is high (format ID-1)",
    value: 53.98,
    unit: "mm",
    source: "ISO/IEC 7810:2019, ID-1",
  },
  cardToleranceMm: {
    what: "A new card differs from that by at most",
    value: 0.13,
    unit: "mm",
    source: FROM_MEMORY,
  },
  fittedShare: {
    what: "A page scaled to fit by a print dialog shrinks by at least",
    value: 0.02,
    unit: "share",
    range: [0.02, 0.06],
    source: COMMON_PRACTICE,
  },
} as const satisfies Record<string, Fact>;
