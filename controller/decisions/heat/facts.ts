import type { Elapsed } from "../../../shared/contract/elapsed.ts";
import type { BoardState } from "../../../shared/contract/image.ts";
import type { Signal } from "../../../shared/contract/signal.ts";
import type { Source, Trust } from "../../signals/vote.ts";
import type { Watched } from "../../signals/watched.ts";
import type { Answered } from "../../signals/witness.ts";
import type { Cover } from "./cover.ts";

/** What heat sees in one scan, besides its memory. */
export interface HeatFacts {
  readonly elapsed: Elapsed;
  /** What controls, and what cuts. */
  readonly control: Signal;
  readonly warmest: Signal;
  /** The same without those that hang in the air perhaps, as long as another is left: what proves that the water is hot. */
  readonly surelyWarmest: Signal;
  readonly coldestC: number | null;
  /** Of those that follow the heater. */
  readonly coldestAnsweringC: number | null;
  /** Whether any thermometer follows the heaters of this box. */
  readonly answered: Answered;
  readonly trust: Trust;
  readonly source: Source;
  /** One was heard a scan ago and is not any more, whether it controlled or could only cut. */
  readonly oneFellSilent: boolean;
  /** What effect and weld are judged by: never by two thermometers in turn. */
  readonly watched: Watched;
  /** K/h over twenty full minutes; null = not known. */
  readonly rateKPerH: number | null;
  /** The room's temperature where it is measured; null = the usual one of the settings. */
  readonly roomC: number | null;
  readonly board: BoardState;
  readonly steady: boolean;
  /** The return pump has run long enough, or no sensor was fitted to show it, or the heater does not need it. */
  readonly flow: boolean;
  /** The return pump is shown running at this moment, or no sensor is fitted. */
  readonly flowNow: boolean;
  /** The sensor says *stopped* and the water does not: heat may not wait for it for ever. */
  readonly flowSuspect: boolean;
  /** False only when the mains are seen to be off: a heater without power proves nothing about the heater. */
  readonly powered: boolean;
  /** The heater has been seen to work. */
  readonly proven: boolean;
  /** Its own thermostat has been seen to cut. */
  readonly thermostatProven: boolean;
  readonly cover: Cover;
  readonly holding: boolean;
  readonly holdingWithHeat: boolean;
  /** Sensed behind the contacts; null = nothing senses there. */
  readonly seenOn: boolean | null;
  /** The heater is powered although it was commanded off: sensed behind the contacts. */
  readonly heaterSeenOn: boolean;
  /** It may begin to heat as far as another heater is concerned; always where it is the only one. */
  readonly turn: boolean;
  /** No other heater has come on a moment ago: their inrush never adds up. */
  readonly apart: boolean;
  /** For how long no other heater has moved the water, or been watched for it; the longest where there is no other. */
  readonly otherOffMs: number;
}
