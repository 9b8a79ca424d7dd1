import type { Commands, Image } from "../../shared/contract/image.ts";
import type { OutputPart, WaterThermometer } from "../../shared/contract/parts.ts";
import type { Gates, ProofPart, ProvingRun } from "../../shared/contract/proving.ts";
import type { Outcome, Request } from "../../shared/contract/requests.ts";
import { oncePerSettings } from "../../shared/settings/once.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import type { Proposal } from "./arbitrate.ts";
import { EVERY_MACHINE } from "./list.ts";
import type {
  Answer,
  Kept,
  Key,
  Machine,
  MachineRun,
  Memories,
  Others,
  RecordDraft,
  Sensed,
  WatchContext,
} from "./machine.ts";

type AnyMachine = Machine<unknown, unknown, unknown, unknown>;
type Deed = "underSettings" | "passTime" | "step" | "watch" | "show";

/** Those of the machines that do this, with how they do it. Made once: asked of every machine in every scan it costs. */
const whoDoes = <Name extends Deed>(machines: readonly AnyMachine[], deed: Name) =>
  machines.flatMap((machine) => {
    const act = machine[deed];
    return act === undefined ? [] : [{ name: machine.key.name, act: act as NonNullable<AnyMachine[Name]> }];
  });

const FALLING = whoDoes(EVERY_MACHINE, "underSettings");
const PASSING = whoDoes(EVERY_MACHINE, "passTime");

/** The machines that a box has: those that its settings name. */
const fittedIn = oncePerSettings((settings) => {
  const fitted = EVERY_MACHINE.filter(({ isFitted }) => isFitted?.(settings) ?? true);
  return {
    machines: fitted,
    stepping: whoDoes(fitted, "step"),
    watching: whoDoes(fitted, "watch"),
    showing: whoDoes(fitted, "show"),
  };
});

/** The memories of all machines while one of them after the other acts. */
class Together implements Others {
  protected now: Memories;
  protected past: Memories;
  /** Copied at the first change since `past`: what came before is never changed. */
  private changing: Record<string, Kept> | null = null;

  constructor(memories: Memories) {
    this.now = memories;
    this.past = memories;
  }

  protected put(name: string, kept: Kept): void {
    if (this.now[name] === kept) return;
    this.changing ??= { ...this.now };
    this.changing[name] = kept;
    this.now = this.changing;
  }

  protected restore(memories: Memories): void {
    this.now = memories;
    this.changing = null;
  }

  /** From here on, `before` means now. */
  protected turnPage(): void {
    this.past = this.now;
    this.changing = null;
  }

  keptOf<Durable, Volatile>({ name }: Key<Durable, Volatile, unknown>): Kept<Durable, Volatile> {
    return this.now[name] as Kept<Durable, Volatile>;
  }

  before<Durable, Volatile>({ name }: Key<Durable, Volatile, unknown>): Kept<Durable, Volatile> {
    return this.past[name] as Kept<Durable, Volatile>;
  }

  memories(): Memories {
    return this.now;
  }
}

/**
 * Proofs and calibrations under this file: what was made under another one falls, in the scan that first sees it. The
 * same memories where nothing falls.
 */
export function underSettings(memories: Memories, file: Settings, isStart: boolean): Memories {
  const context = new UnderSettings(memories, file, isStart);
  return context.fall() ? context.memories() : memories;
}

class UnderSettings extends Together {
  readonly file: Settings;
  readonly isStart: boolean;

  constructor(memories: Memories, file: Settings, isStart: boolean) {
    super(memories);
    this.file = file;
    this.isStart = isStart;
  }

  /** Whether any of them is another now. */
  fall(): boolean {
    let fell = false;
    for (const { name, act } of FALLING) {
      const kept = this.now[name] as Kept;
      const after = act(kept, this);
      if (after === kept) continue;
      this.put(name, after);
      fell = true;
    }
    return fell;
  }
}

/** What the scan before has left. */
export interface LastScan {
  readonly commands: Commands;
  readonly offForMs: { readonly [Part in OutputPart]: number };
  readonly sequence: number;
}

/** One scan of all machines: time passes, people are heard, each decides, each looks at what was decided. */
export class Round extends Together implements WatchContext {
  readonly image: Image;
  readonly elapsed: Sensed["elapsed"];
  readonly settings: Settings;
  readonly file: Settings;
  readonly signals: Sensed["signals"];
  readonly outOfWater: readonly WaterThermometer[];
  readonly quantities: Sensed["quantities"];
  readonly temperatureRateKPerH: number | null;
  readonly start: Sensed["start"];
  readonly corrections: Sensed["corrections"];
  readonly fan: Sensed["fan"];
  readonly calibrationDays: number;
  readonly commanded: Commands;
  readonly offForMs: LastScan["offForMs"];
  readonly nextSequence: number;
  commands: Commands;
  /** Something changed that must be on disk before it matters. */
  urgent = false;
  private readonly fitted: ReturnType<typeof fittedIn>;
  private readonly verdicts: Record<string, unknown> = {};

  constructor(memories: Memories, sensed: Sensed, last: LastScan) {
    super(memories);
    this.image = sensed.image;
    this.elapsed = sensed.elapsed;
    this.settings = sensed.settings;
    this.file = sensed.file;
    this.signals = sensed.signals;
    this.outOfWater = sensed.outOfWater;
    this.quantities = sensed.quantities;
    this.temperatureRateKPerH = sensed.temperatureRateKPerH;
    this.start = sensed.start;
    this.corrections = sensed.corrections;
    this.fan = sensed.fan;
    this.calibrationDays = sensed.calibrationDays;
    this.commanded = last.commands;
    this.commands = last.commands;
    this.offForMs = last.offForMs;
    this.nextSequence = last.sequence + 1;
    this.fitted = fittedIn(sensed.settings);
  }

  passTime(): void {
    for (const { name, act } of PASSING) this.put(name, act(this.now[name] as Kept, this));
  }

  /** Whoever it concerns answers, and each sees the memories as those before it have changed them. */
  answer(request: Request): Pick<Outcome, "accepted" | "why"> {
    const began = this.past;
    this.turnPage();
    const before = this.past;
    const words: string[] = [];
    for (const machine of EVERY_MACHINE) {
      const { name } = machine.key;
      const answer = machine.request?.(this.now[name] as Kept, request, this) ?? null;
      if (answer === null) continue;
      // One refusal refuses it whole; what the one who refuses has found out by it stays.
      if (!answer.accepted) this.restore(before);
      this.take(name, answer);
      if (!answer.accepted) {
        this.past = began;
        return { accepted: false, why: answer.why ?? "" };
      }
      if (answer.why !== null) words.push(answer.why);
    }
    this.past = began;
    return words.length > 0 ? { accepted: true, why: words.join(" ") } : { accepted: false, why: NOBODY };
  }

  private take(name: string, { kept, also }: Answer<unknown, unknown>): void {
    this.put(name, kept);
    if (also) this.put(also.key.name, also.kept);
  }

  /** Each machine decides; what they propose is for the arbiter. */
  decide(): readonly Proposal[] {
    const proposals: Proposal[] = [];
    for (const { name, act } of this.fitted.stepping) {
      const { kept, verdict, proposal, urgent } = act(this.now[name] as Kept, this);
      this.put(name, kept);
      this.verdicts[name] = verdict;
      if (urgent) this.urgent = true;
      if (proposal !== null) proposals.push(proposal);
    }
    return proposals;
  }

  watch(commands: Commands): void {
    this.commands = commands;
    for (const { name, act } of this.fitted.watching) {
      const { kept, urgent } = act(this.now[name] as Kept, this);
      this.put(name, kept);
      if (urgent) this.urgent = true;
    }
  }

  show(draft: RecordDraft): void {
    for (const { name, act } of this.fitted.showing) act(draft, this.now[name] as Kept, this);
  }

  verdictOf<Verdict>({ name }: Key<unknown, unknown, Verdict>): Verdict | null {
    return (this.verdicts[name] ?? null) as Verdict | null;
  }

  isSwitched(run: ProvingRun): boolean {
    return EVERY_MACHINE.some(({ runs }) => runs?.includes(run) === true);
  }

  runOf(run: ProvingRun): MachineRun | null {
    const machine = this.fitted.machines.find(({ runs }) => runs?.includes(run) === true);
    return machine?.runOf?.(this.verdictOf(machine.key)) ?? null;
  }

  gateOf(part: ProofPart): Gates {
    return EVERY_MACHINE.find(({ gates }) => gates?.of(this.file).includes(part) === true)?.gates?.name ?? null;
  }
}

const NOBODY = "Nothing in this box answers to that.";
