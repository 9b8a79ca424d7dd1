import type { Commands } from "../../../shared/contract/image.ts";
import { HEATER_PARTS } from "../../../shared/contract/parts.ts";
import { heaterOf, type Settings } from "../../../shared/settings/schema.ts";
import {
  EVAPORATION_MEASURED,
  EVAPORATION_UNKNOWN,
  followLedger,
  freshLedger,
  freshLedgerVolatile,
  LEDGER_EVERY_MS,
  type LedgerDurable,
  lookAt,
  reservoirAnswer,
  storedLedger,
} from "../../quantities/ledger/index.ts";
import { HOLD } from "../hold/key.ts";
import { accept, type Kept, type Machine, refuse, type WatchContext } from "../machine.ts";
import { isLevelSettled, planStart } from "../start.ts";
import { TOP_OFF } from "../top-off/key.ts";
import { LEDGER, type LedgerKept } from "./key.ts";

type Own = Kept<LedgerDurable, LedgerKept>;

/** Where every litre and gram went. It looks once a minute, and when a person has asked something; between, time adds up. */
export const ledger: Machine<LedgerDurable, LedgerKept> = {
  key: LEDGER,
  fresh: (settings) => ({
    durable: freshLedger(settings, EVAPORATION_MEASURED),
    volatile: { ledger: freshLedgerVolatile(), sinceMs: 0, told: NOTHING_TOLD },
  }),
  lost: (settings) => freshLedger(settings, EVAPORATION_UNKNOWN),
  afterRestart: (kept) => kept,
  schema: storedLedger,

  request(kept, request) {
    switch (request.kind) {
      case "hand-test":
        return accept(tell(kept, { handTest: request.salinity }), null);
      // Filled with water that nobody has measured.
      case "refill":
        return accept(tell(kept, { reservoir: { salinity: null } }), null);
      case "reservoir-test": {
        const { accepted, why } = reservoirAnswer(request.salinity);
        return accepted ? accept(tell(kept, { reservoir: { salinity: request.salinity } }), why) : refuse(kept, why);
      }
      default:
        return null;
    }
  },

  watch(kept, context) {
    const { image, elapsed } = context;
    const sinceMs = kept.volatile.sinceMs + elapsed.ms;
    const isDue = sinceMs >= LEDGER_EVERY_MS || image.requests.length > 0 || image.start !== null;
    return { kept: isDue ? look(kept, sinceMs, context) : later(kept, sinceMs), urgent: false };
  },

  show(draft, { volatile }) {
    draft.ledger = volatile.ledger.status;
  },
};

const NOTHING_TOLD: LedgerKept["told"] = { handTest: null, reservoir: null };

const tell = ({ durable, volatile }: Own, told: Partial<LedgerKept["told"]>): Own => ({
  durable,
  volatile: { ...volatile, told: { ...volatile.told, ...told } },
});

const later = ({ durable, volatile }: Own, sinceMs: number): Own => ({
  durable,
  volatile: { ledger: volatile.ledger, sinceMs, told: volatile.told },
});

function look({ durable, volatile }: Own, elapsedMs: number, context: WatchContext): Own {
  const { image, signals, quantities, start, settings } = context;
  const topOff = context.keptOf(TOP_OFF).durable;
  const hold = context.keptOf(HOLD).durable;
  const seen = lookAt(
    {
      ...volatile.told,
      scanMs: image.elapsedMs,
      elapsedMs,
      start: image.start === null ? null : { offMs: image.start.offMs },
      contacts: signals.contacts,
      quantities,
      board: image.board,
      levelSettled: isLevelSettled(start, planStart(settings)),
      pouredTotalL: topOff.pouredTotalUl / 1e6,
      restsAtMark: topOff.sinceFullUl === 0 && topOff.state === "resting",
      topOffLocked: topOff.latch !== null,
      reservoirL: topOff.reservoirUl === null ? null : topOff.reservoirUl / 1e6,
      hands: hold.leftMs > 0 || hold.question,
      calibrationDays: context.calibrationDays,
      heaterW: heaterWatts(context.commands, settings),
      fan: context.fan,
    },
    settings,
  );
  const next = followLedger({ durable, volatile: volatile.ledger }, seen, settings);
  return { durable: next.durable, volatile: { ledger: next.volatile, sinceMs: 0, told: NOTHING_TOLD } };
}

/** Of the heaters that are commanded on. */
function heaterWatts(commands: Commands, settings: Settings): number {
  let watts = 0;
  for (const heater of HEATER_PARTS) if (commands[heater]) watts += heaterOf(settings, heater)?.heaterW ?? 0;
  return watts;
}
