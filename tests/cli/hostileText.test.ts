import { writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { afterAll, expect, test } from "vitest";
import { sampleJob } from "../job/sample.ts";
import { contents, scratch, velarium } from "./run.ts";

const folder = scratch();
afterAll(() => folder.remove());

test("text from a job stays text in every file, and no name leads out of the folder", async () => {
  const job = sampleJob();
  job.title = '<script>alert(1)</script> & "quotes" \']]> ../../etc/passwd';
  job.client = "=cmd|' /C calc'!A0";
  job.firm = "%s%n(\\) \u202ecod\u0000e";
  job.ceiling.walls = ["<img src=x onerror=alert(1)>", "../up", "wall\nbreak", "-2+3"];
  job.ceiling.noGo = [
    { kind: "other", name: "</text><script>x</script>", circle: { centreMm: [900, 900], radiusMm: 30 } },
  ];
  job.sky.options[0]!.title = "@SUM(1+1)*cmd";
  const file = folder.path("hostile.velarium.json");
  writeFileSync(file, JSON.stringify(job));
  const out = folder.path("out");
  const { code, err } = await velarium(["plan", file, "--out", out]);
  expect(code, err).toBe(0);
  expect(folder.list()).toEqual(["hostile.velarium.json", "out"]);
  const files = contents(out);
  for (const [name, bytes] of files) {
    expect(name).toMatch(/^[\w./-]+$/);
    if (name.endsWith(".svg")) {
      expect(bytes.toString()).not.toMatch(/<(script|img)/i);
      // Python's expat parses strictly
      const parsed = spawnSync(
        "/usr/bin/python3",
        ["-c", "import sys, xml.dom.minidom as m; m.parseString(sys.stdin.buffer.read())"],
        { input: bytes },
      );
      expect(parsed.status, `${name}: ${parsed.stderr.toString()}`).toBe(0);
    }
    if (name.endsWith(".csv")) expect(bytes.toString()).not.toMatch(/(^|,)"?[=@+]/m);
  }
  const pdf = spawnSync("pdftotext", [`${out}/sheets/templates-back.pdf`, "-"], { encoding: "utf8" });
  expect(pdf.status).toBe(0);
  expect(pdf.stdout).toContain("<script>");
  const metadata = spawnSync("pdfinfo", ["-meta", `${out}/sheets/templates-back.pdf`]).stdout;
  const title = spawnSync(
    "/usr/bin/python3",
    [
      "-c",
      "import sys, xml.dom.minidom as m; d = m.parseString(sys.stdin.buffer.read().strip()); " +
        "print(d.getElementsByTagName('rdf:li')[0].firstChild.data, len(d.getElementsByTagName('script')))",
    ],
    { input: metadata, encoding: "utf8" },
  );
  expect(title.status, title.stderr).toBe(0);
  expect(title.stdout).toMatch(/^<script>alert\(1\)<\/script> & "quotes".* 0\n$/);
  expect(files.get("sheets/templates-back.pdf")!.toString("latin1")).not.toMatch(
    /\/(JavaScript|JS|OpenAction|Launch)\b/,
  );
});
