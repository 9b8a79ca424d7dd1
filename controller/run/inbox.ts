import { createMeter, type Outcome, type Request } from "../../shared/contract/index.ts";
import { readRequest } from "../publish/request-schema.ts";

/**
 * Requests that wait for the next scan: those of whoever stands at the tank, and apart from them those that came over
 * the network, so that nobody there can crowd out a hand at the water. Repeated ids are judged by the scan alone.
 */
export interface Inbox {
  /** Everything that waits, for one scan: the tank first. */
  take(): readonly Request[];
  /** From the controller's own terminal, its socket or the button. Null = it waits for the scan; else why not. */
  offerAtTank(request: Request): Outcome | null;
  /** As it came over the network. */
  offerFromNetwork(kind: string, payload: string): Outcome | null;
  /** What the scan has decided. */
  decided(outcomes: readonly Outcome[]): void;
}

export const MOST_AT_TANK = 16;
export const MOST_FROM_NETWORK = 16;
/**
 * What is granted is written to the disk, which wears, and must not wear out because somebody asks on and on. A walk
 * along all the parts takes about a hundred.
 */
export const GRANTED_ALLOWANCE = { burst: 120, perSecond: 1 / 60 } as const;
const MOST_REMEMBERED = 64;

export function createInbox(nowMs: () => number): Inbox {
  let atTank: Request[] = [];
  let fromNetwork: Request[] = [];
  /** Taken by the scan and not decided yet. */
  const undecided = new Set<string>();
  const granted = createMeter(GRANTED_ALLOWANCE);
  return {
    take() {
      if (atTank.length === 0 && fromNetwork.length === 0) return NOTHING;
      const taken = [...atTank, ...fromNetwork];
      for (const { id } of fromNetwork) undecided.add(id);
      [atTank, fromNetwork] = [[], []];
      return taken;
    },
    offerAtTank(request) {
      if (atTank.length >= MOST_AT_TANK)
        return refuse(request.id, "Too much was asked at once; ask again in a moment.");
      atTank.push(request);
      return null;
    },
    offerFromNetwork(kind, payload) {
      const read = readRequest(kind, payload);
      if (read.request === null) return refuse(read.id, read.why);
      if (fromNetwork.length >= MOST_FROM_NETWORK) return refuse(read.request.id, TOO_MANY);
      if (granted.left(nowMs()) < 1) return refuse(read.request.id, TOO_MANY_GRANTED);
      fromNetwork.push(read.request);
      return null;
    },
    decided(outcomes) {
      for (const { id, accepted } of outcomes) {
        const isFromNetwork = undecided.delete(id);
        if (isFromNetwork && accepted) granted.take(1, nowMs());
      }
      for (const id of undecided) {
        if (undecided.size <= MOST_REMEMBERED) break;
        undecided.delete(id);
      }
    },
  };
}

const NOTHING: readonly Request[] = [];
const refuse = (id: string, why: string): Outcome => ({ id, accepted: false, why });
const TOO_MANY = "Too many requests at once; ask again in a moment. At the tank you are always heard.";
const TOO_MANY_GRANTED =
  "So much has been asked over the network that the disk is spared for a while: ask again in a minute, or at the tank.";
