import type { CampaignFigures, RowFigures } from "./figures.ts";

/** The part of `tests/PROOF.md` that tells of the weeks of the fault campaign. */
export function campaignSection({ weeks, seed, one, two, kinds, excused }: CampaignFigures): string {
  const rows = [one, two, ...kinds].map(rowOf);
  return `### A campaign of weeks

${weeks.toLocaleString("en")} weeks on the simulated tank (\`npm run campaign -- --weeks ${weeks} --seed ${seed}\`): a room, a box and a keeper by chance, who fills
up, measures once a week, changes water, puts hands in and is not always at home; and one or two faults of those that can be
rehearsed. Each week is lived twice: with Evenbrine, and with a bare float, relay and thermostat on the same water. Two figures
with a stroke between them are Evenbrine / bare parts, the worst of all those weeks. *Harmed*: anything on the floor, salinity
beyond ±2 of the start, water outside 20–30 °C, a return pump that sucked air for an hour, a pump or heater a minute dry, more
than 24 loud alarms in a day. *Told*: harms to either side before which Evenbrine had raised the right alarm, and by how many
hours in the middle of all of them; bare parts tell nobody.

What a week must come to: the separate checkers find no broken rule, with one fault or with two. With one fault, no
harm either, save harm that no controller could prevent. A week with two faults may be harmed; that is reported, not failed.

| weeks with | weeks | harmed | floor, L | freshest | saltiest | coldest, °C | hottest, °C | told before | by, h |
| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |
${rows.join("\n")}

Of the ${one.weeks.toLocaleString("en")} weeks with one fault ${one.failed} failed, of the ${two.weeks.toLocaleString("en")} with two ${two.failed}. A harm is excused only where
nobody at the tank with the same parts could have prevented it, and only if somebody was told before. The same week is lived
once more by a hand that knows the water itself and has the same switches: either the harm comes to it as well, about as
badly; or it sees with its eyes what no part of the box shows; or water is seen where it must not be, or nothing shows the
level, and then stopping costs what evaporates, told before salinity has moved by 0.5. What was excused:

| fault | harm | weeks | why no controller could prevent it |
| --- | --- | ---: | --- |
${excused.map(({ fault, harm, why, weeks: count }) => `| ${fault} | ${harm} | ${count} | ${why} |`).join("\n")}
`;
}

function rowOf({ name, weeks, ours, bare, told, toldOf, earlierH }: RowFigures): string {
  const pair = (of: (side: RowFigures["ours"]) => number, decimals: number) =>
    `${of(ours).toFixed(decimals)} / ${of(bare).toFixed(decimals)}`;
  const columns = [
    name,
    weeks.toLocaleString("en"),
    pair((side) => side.harmed, 0),
    pair((side) => side.floorL, 2),
    pair((side) => side.freshest, 2),
    pair((side) => side.saltiest, 2),
    pair((side) => side.coldestC, 1),
    pair((side) => side.hottestC, 1),
    toldOf === 0 ? "–" : `${told} of ${toldOf}`,
    earlierH === null ? "–" : earlierH.toFixed(1),
  ];
  return `| ${columns.join(" | ")} |`;
}
