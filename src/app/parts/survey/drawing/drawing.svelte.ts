import { releaseProxy, wrap, type Remote } from "comlink";
import type { Fault } from "../../../../job/faults.ts";
import type { Role, Unit } from "../../../../survey/types.ts";
import type { Answer } from "../../../worker/api.ts";
import type { DrawingApi, Read } from "./drawingApi.ts";

/** A drawing on the desk: what was read from it, and what the person said of it so far. Nothing of it is in the job yet. */
export class OpenDrawing {
  readonly name: string;
  read = $state.raw<Read | null>(null);
  faults = $state.raw<Fault[]>([]);
  /** Why it can't go on, where no fault of the file says so. */
  cannot = $state("");
  busy = $state(true);
  unit = $state.raw<Unit | null>(null);
  room = $state.raw<number | null>(null);
  roles = $state.raw<Readonly<Record<string, Role>>>({});
  readonly #worker: Worker;
  readonly #remote: Remote<DrawingApi>;
  /** Counts the questions: only the newest one's answer is shown. */
  #asked = 0;

  constructor(name: string, bytes: Uint8Array) {
    this.name = name;
    this.#worker = startWorker();
    this.#remote = wrap<DrawingApi>(this.#worker);
    void this.#take(this.#remote.read(bytes, name));
  }

  say({ unit, room, role }: { unit?: Unit; room?: number; role?: [key: string, role: Role] }): void {
    if (unit !== undefined) this.unit = unit;
    if (room !== undefined) this.room = room;
    if (role !== undefined) this.roles = { ...this.roles, [role[0]]: role[1] };
    const said = { unit: this.unit, room: this.room, roles: Object.entries(this.roles) };
    void this.#take(this.#remote.survey(said));
  }

  /** Ends the worker, whatever it is at. */
  close(): void {
    this.#asked++;
    this.#remote[releaseProxy]();
    this.#worker.terminate();
  }

  async #take(answering: Promise<Answer<Read>>): Promise<void> {
    const mine = ++this.#asked;
    this.busy = true;
    try {
      const answer = await answering;
      if (mine !== this.#asked) return;
      this.faults = !answer.ok && "faults" in answer ? answer.faults : [];
      this.cannot = !answer.ok && "cannot" in answer ? `${answer.cannot.message} ${answer.cannot.next}` : "";
      if (answer.ok) this.read = answer.value;
    } catch (error) {
      if (mine !== this.#asked) return;
      console.error(error);
      this.cannot = "The drawing could not be read. The job that is open is unchanged.";
    }
    if (mine === this.#asked) this.busy = false;
  }
}

function startWorker(): Worker {
  return new Worker(new URL("./drawing.worker.ts", import.meta.url), {
    type: "module",
    name: "velarium-drawing",
  });
}
