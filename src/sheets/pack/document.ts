import type { BoxMm } from "../../drawing/clip.ts";
import type { SheetContext } from "../context.ts";
import { GREY, WEIGHT, line, rectangle, text, type Drawing, type Item } from "../../drawing/drawing.ts";
import { readLogo } from "../../job/logo.ts";
import { packPaper, type Paper } from "../papers.ts";
import { fitted, wrapped } from "../../drawing/words.ts";

const LAYER = "TEXT";
/** Wider on the left: punched pages go into a binder. */
const MARGIN = { left: 18, right: 10, top: 22, foot: 16 };
const LEADING = 1.4;
/** What a section's title takes of the page, and a logo beside it at most. */
const TITLE_MM = 10;
const LOGO_MM = { width: 60, height: 18 };
const RULE = { widthMm: WEIGHT.thin, grey: GREY.mid };
const FINE = { widthMm: WEIGHT.hair, grey: GREY.light };

/** In a table cell: an empty box to tick. */
export const TICK = "\u2610";
/** In a table cell: a line to write on. */
export const BLANK = "____";

export interface Column {
  title: string;
  /** Share of the table's width, relative to the other columns. */
  share: number;
  align?: "left" | "right" | "centre";
  bold?: boolean;
}

export interface PackPage {
  drawing: Drawing;
  /** Leads to it; "" for a page that goes on. */
  bookmark: string;
}

/** Lays words, tables and drawings on numbered pages, each with job, revision and page number. */
export class PackDocument {
  readonly context: SheetContext;
  private readonly title: string;
  private readonly paper: Paper;
  private readonly pages: { items: Item[]; wide: boolean; section: string; bookmark: string }[] = [];
  private y = 0;
  /** Of what is being written: pages it goes on to are named by it. */
  private current = "";

  constructor(context: SheetContext, title: string) {
    this.context = context;
    this.title = title;
    this.paper = packPaper(context.plan.job);
  }

  /** Starts a page and a section. */
  section(name: string, wide = false): void {
    this.current = name;
    this.startPage(wide, name);
    this.titled(name);
  }

  /** A section below the one before where `neededMm` are left, else on a page of its own. */
  sectionBelow(name: string, neededMm: number): void {
    const page = this.pages.at(-1)!;
    if (page.wide || this.y - neededMm < MARGIN.foot) return this.section(name);
    this.current = name;
    page.section += `; ${name}`;
    page.bookmark = [page.bookmark, name].filter(Boolean).join("; ");
    this.y -= TITLE_MM;
    this.titled(name);
  }

  private titled(name: string): void {
    this.add(text(LAYER, [this.left, this.y - 5.2], this.context.clean(name), 6, { bold: true }));
    this.y -= TITLE_MM;
  }

  /** The firm's logo at the right of the section's title, no wider or higher than there is room for. */
  logo(): void {
    const logo = readLogo(this.context.plan.job.firmLogo);
    if (!logo) return;
    const mmPerPx = Math.min(LOGO_MM.width / logo.widthPx, LOGO_MM.height / logo.heightPx);
    const [widthMm, heightMm] = [logo.widthPx * mmPerPx, logo.heightPx * mmPerPx];
    const foot = this.y + TITLE_MM - heightMm;
    const { bytes } = logo;
    this.add({ kind: "image", layer: LAYER, at: [this.left + this.width - widthMm, foot], widthMm, heightMm, bytes }); // prettier-ignore
    this.y = Math.min(this.y, foot - 3);
  }

  heading(words: string): void {
    this.keep(16);
    this.y -= 3;
    this.write(words, 3.8, { bold: true });
    this.y -= 0.6;
  }

  /** A paragraph, broken into lines. */
  write(words: string, sizeMm = 2.9, look: { bold?: boolean; grey?: number; indentMm?: number } = {}): void {
    const { typeface, clean } = this.context;
    const indent = look.indentMm ?? 0;
    const lines = wrapped(clean(words), this.width - indent, sizeMm, typeface, { bold: look.bold ?? false });
    for (const part of lines) {
      this.keep(sizeMm * LEADING);
      this.y -= sizeMm * LEADING;
      this.add(text(LAYER, [this.left + indent, this.y + sizeMm * 0.3], part, sizeMm, { bold: look.bold ?? false, grey: look.grey ?? 0 })); // prettier-ignore
    }
    this.y -= 0.8;
  }

  /** A line to tick off. */
  tick(words: string, sizeMm = 2.9, look: { bold?: boolean } = {}): void {
    this.keep(sizeMm * LEADING * 2);
    const top = this.y;
    this.add(box(this.left, top - sizeMm * 1.15, sizeMm));
    this.write(words, sizeMm, { ...look, indentMm: sizeMm + 2 });
  }

  /** A table; rows are never torn, the head stands on every page. Cells may be TICK, BLANK or words. */
  table(
    columns: readonly Column[],
    rows: readonly (readonly string[])[],
    { sizeMm = 2.5, leastRowMm = 0 } = {},
  ): void {
    const sum = columns.reduce((total, { share }) => total + share, 0);
    const widths = columns.map(({ share }) => (share / sum) * this.width);
    const starts = widths.map((_, i) => this.left + widths.slice(0, i).reduce((a, b) => a + b, 0));
    const lines = (cells: readonly string[], bold: boolean) =>
      cells.map(
        (cell, i) =>
        cell === TICK || cell === BLANK
          ? [cell]
          : wrapped(this.context.clean(cell), widths[i]! - 2, sizeMm, this.context.typeface, { bold: bold || (columns[i]!.bold ?? false) }), // prettier-ignore
      );
    const heightOf = (cells: string[][]) =>
      Math.max(leastRowMm, Math.max(1, ...cells.map((c) => c.length)) * sizeMm * LEADING + 1.2);
    const row = (cells: string[][], height: number, head: boolean) => {
      this.y -= height;
      cells.forEach((parts, i) => this.cell(parts, columns[i]!, { x: starts[i]!, y: this.y, width: widths[i]!, height }, sizeMm, head)); // prettier-ignore
      this.add(line(LAYER, [this.left, this.y], [this.left + this.width, this.y], head ? RULE : FINE));
    };
    const head = lines(columns.map(({ title }) => title), true); // prettier-ignore
    const headHeight = heightOf(head);
    const named = columns.some(({ title }) => title !== "");
    rows.forEach((cells, i) => {
      const own = lines(cells, false);
      const height = heightOf(own);
      const fresh = this.keep(height + (i === 0 ? headHeight : 0));
      if ((i === 0 || fresh) && named) row(head, headHeight, true);
      row(own, height, false);
    });
    this.y -= 2.5;
  }

  /** Room for a drawing as high as the page still is, or `heightMm`. The caller pushes items. */
  room(heightMm?: number): BoxMm {
    if (heightMm !== undefined) this.keep(heightMm);
    const y0 = heightMm === undefined ? MARGIN.foot : this.y - heightMm;
    const free = { x0: this.left, x1: this.left + this.width, y0, y1: this.y };
    this.y = y0 - 2;
    return free;
  }

  add(item: Item): void {
    this.pages.at(-1)!.items.push(item);
  }

  /** One by one: a hall's map has more items than a call may have arguments. */
  addAll(items: Iterable<Item>): void {
    for (const item of items) this.add(item);
  }

  /** Keeps what follows together: goes to a new page where less than that is left, unless no page is so high. */
  together(neededMm: number): void {
    const whole = this.sizeOf(this.pages.at(-1)!.wide)[1] - MARGIN.top - MARGIN.foot;
    this.keep(Math.min(neededMm, whole * 0.6));
  }

  /** All pages, with head and foot. */
  finish(): PackPage[] {
    return this.pages.map(({ items, wide, section, bookmark }, i) => {
      const [widthMm, heightMm] = this.sizeOf(wide);
      return {
        bookmark,
        drawing: {
          title: `${this.title}, page ${i + 1}`,
          widthMm,
          heightMm,
          zeroMm: [0, 0],
          items: [...items, ...this.frame(section, i + 1, widthMm, heightMm)],
        },
      };
    });
  }

  private frame(section: string, number: number, widthMm: number, heightMm: number): Item[] {
    const { plan, clean, typeface } = this.context;
    const { job } = plan;
    const right = widthMm - MARGIN.right;
    const { left } = MARGIN;
    const half = (right - left) / 2;
    const top = heightMm - 10;
    const foot = 9;
    const about = clean([job.client, job.room].filter(Boolean).join(", "));
    const grey = { grey: GREY.dark };
    const end = `${section}, page ${number} of ${this.pages.length}`;
    return [
      text(LAYER, [left, top], fitted(clean(job.title), half, 3.2, typeface, true), 3.2, { bold: true }),
      text(LAYER, [right, top], `${this.title}, revision ${job.revision}`, 3.2, {
        bold: true,
        align: "right",
      }),
      text(LAYER, [left, top - 4], fitted(about, half, 2.5, typeface), 2.5, grey),
      text(LAYER, [right, top - 4], fitted(clean(job.firm), half, 2.5, typeface), 2.5, {
        ...grey,
        align: "right",
      }),
      line(LAYER, [left, top - 6], [right, top - 6], RULE),
      line(LAYER, [left, foot + 4], [right, foot + 4], RULE),
      text(LAYER, [left, foot], fitted("Pointers, not permission: local codes and licensed practice decide.", half, 2.5, typeface), 2.5, grey), // prettier-ignore
      text(LAYER, [right, foot], fitted(clean(end), half, 2.5, typeface), 2.5, { ...grey, align: "right" }),
    ];
  }

  private cell(
    parts: string[],
    column: Column,
    { x, y, width, height }: { x: number; y: number; width: number; height: number },
    sizeMm: number,
    head: boolean,
  ): void {
    const align = column.align ?? "left";
    const at = align === "right" ? x + width - 1 : align === "centre" ? x + width / 2 : x + 1;
    if (parts[0] === TICK) return this.add(box(align === "centre" ? at - sizeMm * 0.55 : at, y + (height - sizeMm * 1.1) / 2, sizeMm * 1.1)); // prettier-ignore
    if (parts[0] === BLANK) return this.add(line(LAYER, [x + 1, y + 1], [x + width - 2, y + 1], RULE));
    const spare = (height - parts.length * sizeMm * LEADING) / 2;
    parts.forEach((part, i) => {
      const base = y + height - spare - sizeMm * (LEADING * (i + 1) - 0.35);
      this.add(text(LAYER, [at, base], part, sizeMm, { align, bold: head || (column.bold ?? false), grey: head ? GREY.dark : 0 })); // prettier-ignore
    });
  }

  private get left(): number {
    return MARGIN.left;
  }

  /** Of what is written on, mm. */
  get width(): number {
    return this.sizeOf(this.pages.at(-1)!.wide)[0] - MARGIN.left - MARGIN.right;
  }

  private sizeOf(wide: boolean): [number, number] {
    const { widthMm, heightMm } = this.paper;
    return wide ? [heightMm!, widthMm] : [widthMm, heightMm!];
  }

  private startPage(wide: boolean, bookmark: string): void {
    this.pages.push({ items: [], wide, section: this.current, bookmark });
    this.y = this.sizeOf(wide)[1] - MARGIN.top;
  }

  /** Goes to a new page where less room than that is left; says whether it did. */
  private keep(neededMm: number): boolean {
    if (this.y - neededMm >= MARGIN.foot) return false;
    this.startPage(this.pages.at(-1)!.wide, "");
    return true;
  }
}

const box = (x: number, y: number, sizeMm: number): Item =>
  rectangle(LAYER, [x, y], [sizeMm, sizeMm], { stroke: { widthMm: WEIGHT.medium, grey: GREY.black } });
