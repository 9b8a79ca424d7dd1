// Every calculator once, with a figure that is checked elsewhere against its source: here it must reach the person.
import { describe, expect, it } from "vitest";
import { calculate } from "../../controller/cli/bench/calculate.ts";
import type { Answer, Calculator } from "../../controller/cli/bench/calculator.ts";
import { CALCULATORS } from "../../controller/cli/bench/calculators/index.ts";
import { formatJson, formatLines } from "../../controller/cli/bench/format.ts";

const named = (name: string): Calculator => CALCULATORS.find((calculator) => calculator.name === name)!;

/** "--volume 100usgal --basis N" as the options of a command. */
function options(words: string): Record<string, string> {
  const given = [...words.matchAll(/--([\w-]+) ("[^"]*"|\S+)/g)].map(([, flag, text]) => [
    flag!.replace(/-([a-z])/g, (_, letter: string) => letter.toUpperCase()),
    text!.replaceAll('"', ""),
  ]);
  return Object.fromEntries(given);
}

const ask = (name: string, words: string) => calculate(named(name), options(words));

function answerOf(name: string, words: string): Answer {
  const outcome = ask(name, words);
  if ("refused" in outcome) throw new Error(outcome.refused);
  return outcome.answer;
}

const refusalOf = (name: string, words: string): string => {
  const outcome = ask(name, words);
  return "refused" in outcome ? outcome.refused : "not refused";
};

/** A question, and a line that must be in the answer. */
const QUESTIONS: readonly [name: string, words: string, line: string][] = [
  ["salinity", "--conductivity 53.0mS/cm --temp 77F", "practical salinity 34.95 ± 0.96 SP (k = 2)"],
  ["salinity", "--conductivity 53000uS/cm --temp 25C", "absolute salinity 35.11 g/kg"],
  [
    "salinity",
    "--conductivity 53.071mS/cm --temp 15C --compensation 1.913%/K --reference 25C",
    "conductivity uncompensated 42.919 mS/cm",
  ],
  [
    "salinity",
    "--conductivity 70mS/cm --temp 36C",
    "Above 35 °C the scale is extrapolated: good arithmetic, untested sea water.",
  ],
  [
    "uncertainty",
    "--conductivity 53mS/cm --temp 25C --cell-doubt 0.5%:half",
    "part of the cell constant 0.113 SP (k = 1)",
  ],
  [
    "raw-conductivity",
    "--conductivity 50mS/cm --temp 30C --compensation 2%/K --reference 25C",
    "conductivity 55.0000 mS/cm",
  ],
  ["conductivity", "--salinity 35SP --temp 26C", "conductivity 54.118 mS/cm"],
  ["conductivity-at-25", "--conductivity 42.9175mS/cm --temp 15C", "conductivity at 25 °C 53.071 mS/cm"],
  ["standard-at", "--label 53.071mS/cm --temp 15C", "conductivity 42.918 mS/cm"],
  ["absolute-salinity", "--salinity 35SP", "absolute salinity 35.1650 g/kg"],
  ["absolute-salinity", "--salinity 35.16504g/kg", "practical salinity 35.0000 SP"],
  // Millero & Poisson 1981 (EOS-80), as tabled in tests/reference/eos80-open.csv: SP 35 is 1.026373 at 25/25 °C.
  ["specific-gravity", "--salinity 35SP --marked 25C", "specific gravity 25/25 °C 1.02637"],
  ["specific-gravity", "--salinity 35SP --marked 77F", "specific gravity 25/25 °C 1.02637"],
  // SMOW is 998.2 kg/m³ at 20 °C and 999.97 at 4 °C: the second scale reads 0.0018 lower in the same water.
  ["specific-gravity", "--salinity 35SP --marked 20/4C", "specific gravity 20/4 °C 1.02479"],
  ["salinity-from-sg", "--sg 1.025 --marked 20C/4C", "practical salinity 35.28 SP"],
  // A hydrometer made for 60/60 °F in water of 30 °C: row "35, 30.0, t/60F, 1.0227, 34.955832218" of the same table.
  ["salinity-from-sg", "--sg 1.0227 --marked 60/60F --temp 30C", "practical salinity 34.96 SP"],
  ["density", "--salinity 35SP --temp 25C", "density, TEOS-10 1023.3436 kg/m³"],
  ["heat-capacity", "--salinity 35SP --temp 26C --volume 140L", "of the whole volume 572.8 kJ/K"],
  ["salt-mix", "--volume 20L --salinity 35SP --bag 39g/L", "salt 780.0 g"],
  ["salt-mix", "--water 1L --salinity 35g/kg --factor 1", "salt 36.2 g"],
  ["salt-bag", "--salt 400g --water 10L --measured 35g/kg", "product for a gram of dry salt 1.1020 g"],
  ["add-salt", "--volume 140L --from 33g/kg --to 35g/kg --factor 1", "salt 296.5 g"],
  ["exchange", "--volume 140L --from 33SP --to 35SP --with 40SP", "take out 40.00 L"],
  ["add-fresh", "--volume 140L --from 35SP --to 34SP", "fresh water 4.12 L"],
  ["top-off-salt", "--volume 140L --from 34.5SP --to 35SP --with 35SP", "salt water in place of fresh 2.00 L"],
  ["evaporated", "--volume 140L --salinity 35SP --lost 1.5L", "practical salinity 35.38 SP"],
  ["new-water", "--from 33SP --to 35SP --share 50%", "practical salinity of the new water 37.00 SP"],
  // Salt is conserved: 30 + 5/0.1 = 80 at once; seven changes leave 0.9⁷ of the difference, 30 + 5/(1 − 0.4783) = 39.58.
  ["new-water", "--from 30SP --to 35SP --share 10%", "changes of that size 7"],
  ["new-water", "--from 30SP --to 35SP --share 10%", "practical salinity of the new water 39.58 SP"],
  ["new-water", "--from 38SP --to 35SP --share 5%", "changes of that size 2"],
  ["ammonia", "--ph 8.2 --scale nbs --temp 26C --salinity 35SP", "un-ionised share 6.91 %"],
  ["ammonia", "--ph 8.2 --scale total --temp 26C --salinity 35SP", "un-ionised share 9.16 %"],
  [
    "ammonia",
    "--ph 8.2 --scale nbs --temp 26C --salinity 35SP --total 2mg/L --basis N",
    "un-ionised ammonia 0.138 mg/L as N",
  ],
  ["ammonia-dose", "--volume 100usgal --rise 2mg/L --basis N", "ammonium chloride 2.891 g"],
  ["ammonia-dose", "--volume 130L --rise 2ppm --basis NH3", "ammonium chloride 0.817 g"],
  ["ammonia-dose", "--volume 130L --rise 2ppm --basis NH4 --purity 50%", "ammonium chloride 1.542 g"],
  ["nitrogen", "--amount 4.42664mg/L --basis NO3", "as nitrogen 1.0000 mg/L as N"],
  ["nitrogen", "--amount 3.28443mg/L --basis NO2", "as ammonia 1.2159 mg/L as NH3"],
  ["nitrification", "--ammonia 16mg/L --basis N", "the same 6.32 dKH"],
  ["oxygen", "--salinity 35SP --temp 26C --measured 6.658mg/L", "saturation of this water 100.0 %"],
  ["water-change", "--now 100mg/L --share 25% --times 4 --target 20mg/L", "left after 4 changes 31.641 mg/L"],
  ["water-change", "--now 100mg/L --share 25% --target 20mg/L", "changes until the target 6"],
  ["water-change", "--now 100mg/L --stream 140L --volume 140L", "left after the stream 36.788 mg/L"],
  ["net-volume", "--added 14g --after 100mg/L", "net volume 140.0 L"],
  ["evaporation", "--area 0.35m2 --temp 26C --air 22C --humidity 50%", "evaporation, to 1.89 L/d"],
  ["vapour-pressure", "--temp 25C --humidity 50%", "vapour pressure in the air 1.5809 kPa"],
  ["membrane", "--rated 75usgal/d --temp 10C --feed 50psi --fill 150L", "product 6.92 L/h"],
  ["rejection", "--feed 500uS/cm --product 15uS/cm", "rejection 97.0 %"],
  ["tds", "--conductivity 500uS/cm --factor 0.5", "dissolved solids 250.00 mg/L"],
  ["tds", "--tds 250ppm --factor 0.5", "conductivity at 25 °C 500.00 µS/cm"],
  [
    "weight",
    "--length 750mm --width 50cm --height 450mm --glass 12mm --rock 20kg --sand 12kg --stand 45kg --equipment 15kg",
    "pressure on the footprint 7.01 kPa",
  ],
  ["cycle", "--seed bottled", "ready, by the 24-hour test 12 d"],
  ["platinum", "--resistance 1097.347ohm --sensor Pt1000", "temperature 25.000 °C"],
  ["platinum", "--temp 25C", "resistance 109.7347 Ω"],
  ["thermistor", "--resistance 10kohm --at25 10kohm --beta 3977K", "temperature 25.000 °C"],
  ["thermistor", "--temp 25C --at25 10kohm --beta 3977K", "resistance 10000.00 Ω"],
  ["thermistor", "--resistance 10kohm --a 1.125e-3 --b 2.347e-4 --c 8.566e-8", "temperature 25.038 °C"],
  ["ds18b20", '--bytes "91 01 4B 46 7F FF 0F 10 25"', "temperature 25.0625 °C"],
  ["cell-constant", "--conductance 53mS --constant 1/cm", "conductivity 53.0000 mS/cm"],
  ["cell-constant", "--standard 53mS/cm --read 50mS/cm", "cell constant 1.06000 1/cm"],
  ["convert", "--temp 77F", "temperature 25.000 °C"],
  ["convert", "--difference 9F", "difference 5.0000 K"],
  ["convert", "--volume 1ukgal", "volume 4.5461 L"],
  ["convert", "--mass 1lb", "mass 453.59 g"],
  ["convert", "--length 1in", "length 25.40 mm"],
  ["convert", "--pressure 60psi", "pressure 413.685 kPa"],
  ["convert", "--flow 75usgal/d", "flow 11.8294 L/h"],
  ["convert", "--conductivity 4.2914S/m", "conductivity 42.9140 mS/cm"],
  ["convert", "--flow 75gpd", "flow 11.8294 L/h"],
  ["convert", "--alkalinity 113mg/LCaCO3", "alkalinity 6.33 dKH"],
  // Millero et al. 2008: 35 SP are 35.16504 g/kg; UNESCO 44 (1983) with C(35, 15, 0) = 42.914: 53.07 mS/cm at 25 °C.
  ["convert", "--salinity 35SP", "parts per thousand by mass 35.17 g/kg (ppt)"],
  ["convert", "--salinity 35SP", "specific gravity 25/25 °C 1.0264"],
  ["convert", "--salinity 35SP --marked 20/4C", "specific gravity 20/4 °C 1.0248"],
  ["convert", "--sg 1.026373 --marked 25C", "conductivity at 25 °C 53.07 mS/cm"],
  ["convert", "--conductivity 42.914mS/cm --at 15C", "practical salinity 35.00 SP"],
];

const plainly = (lines: string[]) => lines.map((line) => line.replace(/ {2,}/g, " "));

describe("a question to a calculator", () => {
  it.each(QUESTIONS)("%s %s: %s", (name, words, line) => {
    expect(plainly(formatLines(answerOf(name, words), false))).toContain(line);
  });

  it("calculators: each has a question and a name of its own", () => {
    const askedOf = new Set(QUESTIONS.map(([name]) => name));
    expect(CALCULATORS.map(({ name }) => name).filter((name) => !askedOf.has(name))).toEqual([]);
    expect(new Set(CALCULATORS.map(({ name }) => name)).size).toBe(CALCULATORS.length);
  });

  it("every question: equation, source and range with --why, always in JSON", () => {
    for (const [name, words] of QUESTIONS) {
      const outcome = ask(name, words);
      if ("refused" in outcome) throw new Error(outcome.refused);
      const { answer } = outcome;
      expect(answer.why.length).toBeGreaterThan(0);
      for (const { equation, source, valid } of answer.why) {
        expect(formatLines(answer, true)).toContain(`${equation}: ${source}. Valid ${valid}.`);
      }
      const json = JSON.parse(JSON.stringify(formatJson(named(name), outcome)));
      expect(json.why).toEqual(answer.why);
      expect(json.results.map((line: { value: number }) => line.value)).toEqual(
        answer.results.map(({ value }) => value),
      );
    }
  });

  it("ammonia, cycle, weight and salt: their cautions", () => {
    const cautions = (name: string, words: string) => answerOf(name, words).cautions?.join(" ") ?? "";
    expect(cautions("ammonia-dose", "--volume 130L --rise 2mg/L --basis N")).toMatch(/no animals.*bleach/s);
    expect(cautions("cycle", "--seed liveRock")).toMatch(/no animals/);
    expect(cautions("weight", "--length 750mm --width 500mm --height 450mm --glass 12mm")).toMatch(
      /structural engineer/,
    );
    expect(cautions("ammonia-dose", "--volume 130L --rise 2mg/L --basis N")).not.toMatch(/common practice/);
    expect(cautions("ammonia-dose", "--volume 130L --rise 2.1mg/L --basis N")).toMatch(/2\.1 .*more than the 2 mg\/L/);
    expect(cautions("ammonia-dose", "--volume 130L --rise 6mg/L --basis N")).toMatch(/may stall/);
    expect(cautions("exchange", "--volume 140L --from 35SP --to 34SP --with 0SP")).toBe("");
    expect(cautions("exchange", "--volume 140L --from 33SP --to 35SP --with 40SP")).toMatch(
      /2\.0 in salinity at once.*take 2 days.*29 % of the water/s,
    );
    expect(cautions("salt-mix", "--volume 20L --salinity 35SP --bag 39g/L")).toMatch(/not water onto the salt/);
  });
});

describe("a question that is doubtful or impossible", () => {
  const CHOICES: readonly [name: string, words: string, sentence: RegExp][] = [
    ["salinity", "--conductivity 53 --temp 25C", /53 in which unit\? Write a conductivity like/],
    ["salinity", "--conductivity 53mS --temp 25C", /over which length\? Write mS\/cm/],
    ["salinity", "--conductivity 35ppt --temp 25C", /already made a salinity of it/],
    ["salinity", "--conductivity 1000ppm --temp 25C", /ppm of what\?/],
    ["salinity", "--conductivity 53,0mS/cm --temp 25C", /decimals with a point/],
    ["salinity", "--conductivity much --temp 25C", /is no conductivity/],
    ["salinity", "--conductivity 53furlongs --temp 25C", /is not a unit of conductivity/],
    ["salinity", "--conductivity 53constructor --temp 25C", /is not a unit of conductivity/],
    ["salinity", "--temp 25C", /Which conductivity.*--conductivity 53.0mS\/cm/],
    ["salinity", "--conductivity 53mS/cm", /Which temperature.*--temp 25C/],
    ["salinity", "--conductivity 53mS/cm --temp 25", /25 in which unit/],
    ["salinity", "--conductivity 53mS/cm --temp 45C", /outside what the practical salinity scale is trusted for/],
    ["salinity", "--conductivity 53mS/cm --temp 25C --compensation 2%/K", /Compensated to which temperature\?/],
    ["salinity", "--conductivity 53mS/cm --temp 25C --reference 25C", /by how much\?/],
    ["salinity", "--conductivity 53mS/cm --temp 25C --compensation 2% --reference 25C", /for each what\?/],
    ["salinity", "--conductivity 53mS/cm --temp 25C --compensation 11%/K --reference 25C", /outside what the comp/],
    ["salinity", "--conductivity 53mS/cm --temp 25C --cell-doubt 1%", /a half-width .* or one standard deviation\?/],
    ["uncertainty", "--conductivity 90mS/cm --temp 25C", /outside/],
    ["raw-conductivity", "--conductivity 50mS/cm --temp 0C --compensation 5%/K --reference 25C", /outside/],
    ["density", "--salinity 35ppt --temp 25C", /parts per thousand of mass, or the practical scale\?/],
    ["density", "--salinity 35 --temp 25C", /on which scale\? Write 35SP/],
    ["density", "--salinity 35g/L --temp 25C", /depend on density/],
    ["density", "--salinity 43SP --temp 25C", /outside what the equations of state/],
    ["heat-capacity", "--salinity 43SP --temp 25C", /outside/],
    ["conductivity", "--salinity 35SP --temp 41C", /outside/],
    ["conductivity", "--salinity 35SP --temp 25C --pressure 10m", /a depth or a pressure\?/],
    ["conductivity-at-25", "--conductivity 99mS/cm --temp 25C", /outside/],
    ["standard-at", "--label 99mS/cm --temp 25C", /outside/],
    ["absolute-salinity", "--salinity 43SP", /outside/],
    ["density", "--salinity 35ppt --temp 25C", /refractometer that was set in a sea-water standard .* write 35SP/],
    ["specific-gravity", "--salinity 35SP", /printed small beside the scale.*--marked 25C/],
    ["specific-gravity", "--salinity 35SP --marked 25", /is no mark of the instrument/],
    ["specific-gravity", "--salinity 43SP --marked 25C", /outside/],
    ["salinity-from-sg", "--sg 1.025", /For which temperature was its scale made\?/],
    ["salinity-from-sg", "--sg 1.2 --marked 25C", /outside/],
    ["salt-mix", "--salinity 35SP --bag 39g/L", /the finished sea water or the pure water/],
    ["salt-mix", "--volume 20L --water 20L --salinity 35SP --bag 39g/L", /the finished sea water or the pure water/],
    ["salt-mix", "--volume 20L --salinity 35SP", /Which salt\?/],
    ["salt-mix", "--volume 20L --salinity 35SP --bag 80g/L", /outside what a bag/],
    ["salt-mix", "--volume 20L --salinity 35SP --factor 3", /outside what a mix/],
    ["salt-bag", "--salt 4kg --water 10L --measured 35SP", /outside/],
    ["add-salt", "--volume 140L --from 35SP --to 33SP --factor 1", /upwards only/],
    ["add-salt", "--volume 140L --from 33SP --to 35SP", /Which salt\?/],
    ["exchange", "--volume 140L --from 33SP --to 35SP --with 34SP", /cannot bring the tank there/],
    ["add-fresh", "--volume 140L --from 33SP --to 35SP", /downwards only/],
    ["top-off-salt", "--volume 140L --from 35SP --to 33SP --with 35SP", /upwards only/],
    ["evaporated", "--volume 140L --salinity 35SP --lost 150L", /less than the whole volume/],
    ["new-water", "--from 33SP --to 35SP --share 0.1%", /No water up to 40SP brings the tank there in 30 changes/],
    ["new-water", "--from 33SP --to 41SP --share 50%", /No water up to 40SP/],
    ["new-water", "--from 33SP --to 35SP --share 0.3", /0.3 in which unit\?/],
    ["ammonia", "--ph 8.2 --temp 26C --salinity 35SP", /pH on which scale/],
    ["ammonia", "--ph 8.2 --scale free --temp 26C --salinity 35SP", /is no pH scale/],
    ["ammonia", "--ph 8.2 --scale nbs --temp 26C --salinity 35SP --total 2mg/L", /Counted as what/],
    ["ammonia", "--ph 15 --scale nbs --temp 26C --salinity 35SP", /outside/],
    ["ammonia-dose", "--volume 100gal --rise 2mg/L --basis N", /US gallons .* or UK gallons/],
    ["ammonia-dose", "--volume 130L --rise 2ppm", /Counted as what/],
    ["ammonia-dose", "--volume 130L --rise 2ppm --basis NO3", /is no basis of an ammonia figure/],
    ["ammonia-dose", "--volume 130L --rise 2ppm --basis N --purity 0%", /outside/],
    ["nitrogen", "--amount 2ppm", /Counted as what/],
    ["nitrogen", "--amount -2ppm --basis N", /outside/],
    ["nitrification", "--ammonia -2ppm --basis N", /outside/],
    ["oxygen", "--salinity 35SP --temp -1C", /not below 0 °C/],
    ["oxygen", "--salinity 35SP --temp 25C --measured -1mg/L", /outside/],
    ["water-change", "--now 10mg/L", /Bucket by bucket or in a stream\?/],
    ["water-change", "--now 10mg/L --share 20% --stream 10L", /Bucket by bucket or in a stream\?/],
    ["water-change", "--now 10mg/L --stream 10L", /through how much water\?/],
    ["water-change", "--now 10mg/L --stream -10L --volume 100L", /outside/],
    ["water-change", "--now 10mg/L --share 120%", /outside/],
    ["water-change", "--now 10mg/L --new 5mg/L --share 20% --target 2mg/L", /never brings the tank/],
    ["net-volume", "--added 14g --after 0g/L", /outside/],
    ["evaporation", "--area 0.35m2 --temp 26C --air 22C --humidity 120%", /outside/],
    ["vapour-pressure", "--temp 50C", /outside/],
    ["membrane", "--rated 75gal/d --temp 10C --feed 4bar", /US gallons .* or UK gallons/],
    ["membrane", "--rated 75usgal/d --temp 50C --feed 4bar", /outside/],
    ["membrane", "--rated 75usgal/d --temp 10C --feed 4bar --fill -1L", /outside/],
    ["rejection", "--feed 0uS/cm --product 15uS/cm", /outside/],
    ["tds", "--factor 0.5", /From a conductivity or from a reading/],
    ["tds", "--conductivity 500uS/cm", /Which number.*--factor/],
    ["tds", "--conductivity 500uS/cm --factor 2", /outside/],
    ["weight", "--length 20mm --width 500mm --height 450mm --glass 12mm", /outside/],
    ["weight", "--length 750mm --width 500mm --height 450mm --glass 12mm --headspace 600mm", /room left for water/],
    ["cycle", "--seed nothing --temp 50C", /outside/],
    ["cycle", "--seed nothing --dose 20mg/L", /outside/],
    ["cycle", "--seed nothing --temp 8C", /no end/],
    ["cycle", "--seed soil", /is no seed of bacteria/],
    ["platinum", "--sensor Pt100", /From a resistance or from a temperature\?/],
    ["platinum", "--resistance 5ohm", /outside/],
    ["thermistor", "--at25 10kohm --beta 3977K", /From a resistance or from a temperature\?/],
    ["thermistor", "--resistance 10kohm", /Which thermistor\?/],
    ["thermistor", "--resistance 1e12ohm --at25 10kohm --beta 3977K", /outside/],
    ["ds18b20", '--bytes "91 01"', /nine bytes/],
    ["ds18b20", '--bytes "no bytes"', /is no row of bytes/],
    ["ds18b20", '--bytes "00 00 00 00 00 00 00 00 00"', /shorted/],
    ["ds18b20", '--bytes "50 05 4B 46 7F FF 0C 10 1C"', /power-on/],
    ["cell-constant", "--standard 53mS/cm", /Add --conductance to measure/],
    ["cell-constant", "--standard 53mS/cm --read 0mS/cm", /outside/],
    ["cell-constant", "--conductance -1mS", /outside/],
    ["convert", "", /Convert what\?/],
    ["convert", "--sg 1.026", /For which temperature was its scale made\?/],
    ["convert", "--salinity 35SP --sg 1.026 --marked 25C", /One water at a time/],
    ["convert", "--salinity 43SP", /outside/],
    ["convert", "--at 25C", /The conductivity of which water\?/],
    ["convert", "--alkalinity 100ppm", /ppm of what\?/],
  ];

  it.each(CHOICES)("%s %s: refused, %s", (name, words, sentence) => {
    expect(refusalOf(name, words)).toMatch(sentence);
  });
});
