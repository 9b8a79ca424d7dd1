import type { FirmataLink } from "./firmata-link.ts";
import type { Pacemaker } from "./pacemaker.ts";

/**
 * `closed` no port, `greeting` the port is open and the board has not said who it is, `settling` its pins are being set
 * and checked, `arming` they are as they should be and the guard firmware waits to be fed, `ready` outputs may be set.
 */
export type Phase = "closed" | "greeting" | "settling" | "arming" | "ready";

/** What is known of a board when somebody asks how it is. */
export interface BoardNews {
  readonly name: string;
  readonly port: string;
  readonly phase: Phase;
  /** Why it cannot be used although it answers; null = nothing known. */
  readonly problem: string | null;
  readonly openForMs: number;
  readonly silent: boolean;
  readonly link: FirmataLink;
  readonly pacemakers: readonly Pacemaker[];
  /** Of the guard firmware. */
  readonly complaint: string | null;
  /** Standard firmware, with a relay that a low level energises. */
  readonly closesAtStart: boolean;
}

const MUTE_AFTER_OPEN_MS = 10_000;

/** How a board is, in plain sentences. */
export function boardSentences(news: BoardNews): readonly string[] {
  const board = `Board ${news.name} on ${news.port}`;
  const sentences = [`${board}: ${stateOf(news)}.`];
  if (news.pacemakers.length > 0) {
    const pins = news.pacemakers.map(({ pin }) => `pin ${pin}`).join(" and ");
    sentences.push(`${board}: leave ${pins} unconnected; the reports of the inputs are paced there.`);
  }
  if (news.complaint) sentences.push(`${board}: ${news.complaint}.`);
  if (news.closesAtStart) {
    sentences.push(
      `${board}: standard firmware holds its pins low while it starts, which closes every relay that is energised ` +
        "by a low level. Use relays that a high level energises.",
    );
  }
  return sentences;
}

const NOBODY =
  "the port is open but nothing answers as a Firmata board would; check that this is its port, its firmware and its baud rate";

function stateOf({ phase, problem, openForMs, silent, link }: BoardNews): string {
  const { line, complaint, io } = link;
  if (phase === "closed") return `${line.problem ?? "closed"}; trying again every second`;
  if (problem) return problem;
  if (phase === "greeting") {
    return openForMs > MUTE_AFTER_OPEN_MS
      ? `${NOBODY}${complaint ? ` (${complaint})` : ""}`
      : "the port is open; waiting for the board";
  }
  if (phase === "settling") return "setting its pins";
  if (phase === "arming") return "its pins are set; the guard waits to be fed by two scans";
  if (silent) return "it answers but does not report its inputs; leave one pin of each port free";
  const { name, version } = io.firmware;
  return `ready (${name ?? "unknown firmware"} ${version ? `${version.major}.${version.minor}` : ""})`;
}
