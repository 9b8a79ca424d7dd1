import type { CampaignFigures } from "../campaign/faults/figures.ts";
import { campaignSection } from "../campaign/faults/proof-section.ts";

export const FIGURES_FILE = new URL("figures.json", import.meta.url);
export const PROOF_FILE = new URL("../PROOF.md", import.meta.url);

export interface MachineFigures {
  readonly name: string;
  readonly about: string;
  readonly states: number;
  readonly transitions: number;
  readonly depth: number;
  readonly walks: number;
}

/** What the last runs found: written by `npm run explore`, by the planted defects and by the campaign, committed, shown. */
export interface Figures {
  readonly machines: Readonly<Record<string, MachineFigures>>;
  readonly planted: readonly { readonly name: string; readonly caughtBy: string }[];
  /** Left out = no campaign has been run yet. */
  readonly campaign?: CampaignFigures;
}

const number = (figure: number): string => figure.toLocaleString("en");

/** `tests/PROOF.md`: what is proved, what is only tested, what is assumed. */
export function proofPage({ machines, planted, campaign }: Figures): string {
  const all = Object.values(machines);
  const sum = (of: (one: MachineFigures) => number) => number(all.reduce((total, one) => total + of(one), 0));
  const rows = all.map(
    ({ name, about, states, transitions, depth }) =>
      `| ${name} | ${about} | ${number(states)} | ${number(transitions)} | ${depth} |`,
  );
  return `${HEAD}
| machine | what is explored, and what stands still | states | transitions | depth |
| --- | --- | ---: | ---: | ---: |
${rows.join("\n")}
| all | | ${sum((one) => one.states)} | ${sum((one) => one.transitions)} | |

${RULES}
## Whether the proof can fail

A proof that cannot fail is worth nothing. Each of these ${planted.length} lines of the real source was made wrong, one at a time, and
the checks were run again. Every one was noticed. One that is not noticed fails the run.

| what was made wrong | noticed by |
| --- | --- |
${planted.map(({ name, caughtBy }) => `| ${name} | ${caughtBy} |`).join("\n")}

${TESTED}
${campaign === undefined ? "" : `${campaignSection(campaign)}\n`}${ASSUMED}`;
}

const HEAD = `# What is proved, what is tested, what is assumed

*Made by \`UPDATE_PAGES=1 npm run explore\`; do not edit.*

Evenbrine switches a pump and a heater. This page says how far you may rely on what it says about itself. *Proved* means:
a program has gone through every situation there is, found none in which the rule is broken, and would have shown the way
there. *Tested* means: tried many times, without a claim to have tried everything. *Assumed* means: nothing here can show
it, and you should know that we rely on it.

This is not a certified safety device. Keep the heater's own thermostat, a high float wired in series with the pump, and a
reservoir no larger than the box can take.

## Proved

\`npm run explore\` calls the functions that run above your water, not a drawing of them. It begins with a new memory and
with a lost one, and lets an adversary choose what happens next: what each float and thermometer says, or that it says
nothing; how much time has passed, from none to longer than an output lives; what a person asks; and a kill at any moment,
after which the process finds its last memory, an older one, or none. Every situation reached in this way is tried again
with every choice, until there is no new one. Waits are two to four ticks there instead of minutes, so that the number of
situations is finite; that this changes nothing is the scaling property below.
`;

const RULES = `What was looked at on every one of these transitions:

- **The pump** is on only in a pour or in a proving run, with no lock, every float known and dry where it must be, hands out
  of the tank, mains and return pump shown, and its litres charged and on disk *before* the first drop (S1). After a start
  it stays off until everything has been steady for its time (S5a).
- **Litres**: a meter outside the controller never shows more than the daily budget and what refills it, nor more excess
  than its limit, beyond one late scan; with kills between charge, write, pour and settling, and with slow and failed disks
  (S2).
- **A lock stays** until a person clears the one that is named, from where it may be cleared, with its cause seen to be
  gone; also over kills and with memory that is older or missing (S3).
- **The heater** is on only with a temperature, below the cut-out by the warmest reading, covered, with flow, with hands
  out of the tank; under doubt no more than its careful share of the time (S4). Every hot reading that counts locks or cuts.
- **A reading that turns bad** turns nothing on and makes no memory more permissive (S6). **A request** turns nothing on by
  itself (S7).
- **What should happen does**: from every situation without a lock a pour begins, and heat begins, within their waits (L1,
  L2); an alarm whose cause is seen for its time comes (L3); every lock, hold and alarm has a way out (L4).

Exceptions that the proof names, each with its bound:

- A proving run, asked for at the tank: charged, on disk, 30 s of pump or 60 s of heat at most. It goes without the trips
  that it is there to test: return pump, hold, waits for the level, proof itself.
- For every kill in the middle of a pour, or before the cost of a very late scan is on disk: the pump may run on until its
  output expires, of which the charge covers two scans. Half a second of pump is not counted, for every kill.
- A pump that was never proven may be run for its proof with up to one daily budget on credit; it refills before a pour.
- The budget also refills while a charge is held: at most what leaks in while a pour waits for the disk and runs.
- Careful heating goes on where one thermometer was bad already; a clear ends the finding *heater without effect*.
- In a box below its low limit the heater runs with care though the return pump is said to stand still, where the water
  contradicts that.
- A lock that is made of evidence (float seen wet, floats seen to contradict) waits where the evidence is missing; the
  missing part itself blocks meanwhile. Only in a proving run does a lost return sensor not block.
- After a week without any heat, careful heating has a share of nothing; the alarm stands, and a person must come.
`;

const TESTED = `## Tested

- **Scaling**: that walks with all waits and limits multiplied by the same number come out the same is tried on random
  walks, and it is what carries the small settings over to real ones.
- **All inputs at once**: the exploration changes one thing besides the floats at a time. What forbids a pour has no memory,
  so that every combination of inputs is tried against S1 in a table of 1.1 million rows.
- **The whole scan**, from readings to commands, with all machines together, on random walks (\`tests/scan\`): S1 to S7 as
  properties. The exploration looks at one machine at a time, and at groups of its trips at a time.
- **Two heaters**: each is the machine that was explored, and whether it is its turn is the adversary's choice there. That
  turns are shared, that the two never start together and that no bad reading hands a turn over is tested in stories and on
  random walks (\`tests/scan\`).
- **Signals**: thermometers, salinity and their vote, by tables; they enter the exploration as the few things that they
  can say. **Alarms**: what each one looks at, by tables; that water or heat withheld is such a cause
  (the other half of L3) is tested there. The proof covers how an alarm comes, stays and goes.
- **The output that expires** and the guard firmware: on recorded wires, pseudo-terminals and an emulated board (S5b).
- **Water**: the equations against published values and a reference library; the tank of the rehearsal against balances.
`;

const ASSUMED = `## Assumed

- The relay opens when its coil is off, or else the guard in series does. The guard rests open for water.
- The pump is at most a quarter stronger than proven, and coasts no further than the settings say.
- What the disk says is written is written, also when the power goes in the next moment.
- Floats, when they say wet or dry, mean it, except where two of them contradict each other. A float that sticks is found
  by what the water does, which takes litres that the budget bounds.
- Evaporation is at least the lowest share in your settings. Salinity, measured by hand, is the only judge of that.
- The time between two scans is measured right. Clocks on the wall may jump as they like.
`;
