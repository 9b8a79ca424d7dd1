import { type Commands, EVERYTHING_OFF, OUTPUT_PARTS, type OutputPart } from "../../../shared/contract/index.ts";
import { OUTPUT_EXPIRY_MS } from "../../../shared/settings/index.ts";
import type { Contact } from "./contact.ts";

/** The input and output board: what it hears, and how long since. Outputs that nobody renews fall off by themselves. */
export interface Board {
  silent: boolean;
  reportsFrozen: boolean;
  /** How long contacts have not been reported. */
  mutedMs: number;
  sinceRenewedMs: number;
  /** It was reset since somebody last looked. */
  restarted: boolean;
  /** What its outputs were last set to. */
  taken: Commands;
}

export const createBoard = (): Board => ({
  silent: false,
  reportsFrozen: false,
  mutedMs: 0,
  sinceRenewedMs: 0,
  restarted: false,
  taken: EVERYTHING_OFF,
});

export function renew(board: Board, contacts: Record<OutputPart, Contact>, commands: Commands | null): void {
  if (commands === null || board.silent) return;
  board.sinceRenewedMs = 0;
  take(board, contacts, commands);
}

export function passTime(board: Board, contacts: Record<OutputPart, Contact>, dtMs: number): void {
  board.sinceRenewedMs += dtMs;
  if (board.sinceRenewedMs > OUTPUT_EXPIRY_MS) take(board, contacts, EVERYTHING_OFF);
  board.mutedMs = board.silent || board.reportsFrozen ? board.mutedMs + dtMs : 0;
}

function take(board: Board, contacts: Record<OutputPart, Contact>, commands: Commands): void {
  if (commands === board.taken) return;
  board.taken = commands;
  for (const part of OUTPUT_PARTS) contacts[part].commanded = commands[part];
}
