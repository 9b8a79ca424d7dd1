import { GUARD_OF } from "../../../shared/contract/index.ts";
import type { Fault } from "./kind.ts";
import { faultKind, resolveFault, type WrittenFault } from "./table.ts";

/** A fault holds a thing of the tank in a state for a span of time. No thing can be in two states at once. */
interface Claim {
  readonly fault: number;
  readonly thing: string;
  readonly state: string;
  readonly fromH: number;
  readonly untilH: number;
}

export interface Contradiction {
  /** Place in the list of faults. */
  readonly fault: number;
  readonly expected: string;
}

/** Faults that contradict one before them in the list. They must each be good by themselves. */
export function contradictions(written: readonly (WrittenFault & { readonly atH: number })[]): Contradiction[] {
  const known = new Map<string, Claim[]>();
  const found: Contradiction[] = [];
  for (const [place, fault] of written.entries()) {
    for (const claim of claimsOf(fault, place)) {
      const others = known.get(claim.thing) ?? [];
      const other = others.find((one) => contradict(one, claim));
      if (other !== undefined && found.at(-1)?.fault !== place) found.push({ fault: place, expected: expected(other) });
      known.set(claim.thing, [...others, claim]);
    }
  }
  return found;
}

/**
 * What breaks later in another way is broken so from then on. A contradiction is to begin in two states at once, or to
 * be mended by the end of one fault while another still holds it.
 */
const contradict = (one: Claim, other: Claim): boolean =>
  one.fromH < other.untilH &&
  other.fromH < one.untilH &&
  ((one.fromH === other.fromH && one.state !== other.state) || one.untilH !== other.untilH);

const expected = ({ fault, thing, state, fromH, untilH }: Claim): string =>
  `no other fault of the ${thing} while it is ${state} by faults.${fault}, ${
    untilH === Infinity ? `from ${fromH} h to the end` : `from ${fromH} h to ${untilH} h`
  }`;

function claimsOf(written: WrittenFault & { readonly atH: number }, place: number): Claim[] {
  const { fault } = resolveFault(written);
  if (fault === null || faultKind(written.kind).end === null) return [];
  const { thing, state } = heldBy(fault);
  return thing.map((each) => ({
    fault: place,
    thing: each,
    state,
    fromH: written.atH,
    untilH: written.untilH ?? Infinity,
  }));
}

/** Which thing a fault takes hold of, and the state it puts it in. */
function heldBy({ kind, part, value, choice }: Fault): { thing: string[]; state: string } {
  switch (kind) {
    case "float-stuck":
      return { thing: [part], state: `stuck ${choice}` };
    case "float-open-circuit":
    case "float-short":
    case "float-chatter":
      return { thing: [part], state: kind };
    case "shared-cable-short":
      return { thing: ["working-float", "high-float"], state: "float-short" };
    case "float-splash":
      return { thing: [`splashes of the ${part}`], state: `${value}` };
    case "fan-dead":
    case "fan-stuck-on":
      return { thing: ["fan"], state: kind };
    case "relay-welded":
    case "relay-dead":
      return { thing: [`contact of the ${part}`], state: kind };
    case "guard-and-relay-welded":
      return {
        thing: [part, GUARD_OF[part as keyof typeof GUARD_OF]].map((each) => `contact of the ${each}`),
        state: "relay-welded",
      };
    case "probe-out-of-water":
    case "probe-open":
    case "probe-short":
    case "probe-frozen":
    case "probe-power-on-value":
      return { thing: [part], state: kind };
    case "thermometer-bus-short":
      return { thing: ["thermometer-1", "thermometer-2"], state: kind };
    case "probe-offset":
      return { thing: [`offset of the ${part}`], state: `${value}` };
    default:
      return { thing: [kind], state: `${value}` };
  }
}
