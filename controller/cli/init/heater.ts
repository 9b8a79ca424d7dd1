import type { HeaterPart } from "../../../shared/contract/parts.ts";
import { GUARD_PINS, judgeHeaterPower, mostReturnPumpW, type Settings } from "../../../shared/settings/index.ts";
import { buildChoice, buildQuestion, buildYesOrNo, expected, type Understood } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { askSwitches, hasGuardFirmware, ownerOf } from "./board.ts";
import { deriveLoss, upperBandC } from "./derived.ts";
import type { Sitting } from "./sitting.ts";

/** The heaters: what the room takes, how many there are, what each is and where it stands. */
export async function askHeater(sitting: Sitting): Promise<void> {
  const { draft, say } = sitting;
  deriveLoss(sitting);
  await askRoom(sitting);
  const count = await askCount(sitting);
  if (count === 2 && hasGuardFirmware(sitting))
    say("Build the guard firmware with SECOND_HEATER=1: it then has the second heater on pins 12 and 13.");
  await askSwitches(sitting, "heater-1");
  Object.assign(draft.heat, await askOneHeater(sitting, "heater-1", count));
  if (count === 1) return;
  await askSwitches(sitting, "heater-2");
  draft.heat.secondHeater = await askOneHeater(sitting, "heater-2", count);
}

type Heated = Parameters<typeof judgeHeaterPower>[0];
/** As much of the settings as the powers are judged by, with what was answered until now. */
const heatedBy = ({ draft }: Sitting): Heated =>
  ({
    tank: draft.tank,
    targets: draft.targets,
    heat: { returnPumpW: 0, coldestRoomC: 0, ...draft.heat },
  }) as unknown as Heated;

async function askRoom(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  const { temperature, power } = sitting.spoken();
  const setpointC = draft.targets.temperatureC as number;
  const bandC = upperBandC(sitting);
  const { mostW } = judgeHeaterPower(heatedBy(sitting));
  // Colder than that, and no heaters that this box may have would hold it.
  const together = (ownerOfSecond(sitting) === undefined ? 2 : 1) * mostW - 1;
  const coldestC = Math.ceil(setpointC - together / (draft.heat.lossWPerK as number));
  draft.heat.coldestRoomC = await ask(
    buildQuantity(
      {
        id: "heat.coldestRoomC",
        asks: "Coldest that the room becomes, on a winter night",
        usual: temperature.format(Math.max(18, coldestC)),
        why: "The heaters must hold the water against it.",
      },
      temperature,
      { least: Math.max(-10, coldestC), most: 30 },
    ),
  );
  draft.heat.roomC = await ask(
    buildQuantity(
      {
        id: "heat.roomC",
        asks: "Temperature of the room on most days",
        usual: temperature.format(22),
        why: "What the box loses heat to, where no room thermometer is fitted.",
      },
      temperature,
      { least: 0, most: Math.min(40, bandC - 1) },
    ),
  );
  const pumpW = mostReturnPumpW({ heat: draft.heat, alarms: { temperatureBandC: [0, bandC] } } as unknown as Settings);
  draft.heat.returnPumpW = await ask(
    buildQuantity(
      {
        id: "heat.returnPumpW",
        asks: "Power of the return pump",
        usual: `${Math.min(25, pumpW)} W`,
        why: "From its label: all of it becomes heat in the water. More than is accepted would keep the water too warm by itself.",
      },
      power,
      { least: 0, most: Math.min(500, pumpW) },
    ),
  );
}

/** Who has the pin on which the guard firmware has a second heater; undefined = nobody. */
const ownerOfSecond = (sitting: Sitting): string | undefined =>
  hasGuardFirmware(sitting) ? ownerOf(sitting.draft, GUARD_PINS["heater-2"]) : undefined;

async function askCount(sitting: Sitting): Promise<1 | 2> {
  const { ask, say } = sitting;
  const { leastW, mostW } = judgeHeaterPower(heatedBy(sitting));
  const owner = ownerOfSecond(sitting);
  if (owner !== undefined) {
    say(
      `\nThe guard firmware has a second heater on pins 12 and 13, and the ${owner} is on 12: so there is one heater.`,
    );
    return 1;
  }
  const words = {
    id: "heaters",
    asks: "How many heaters, each with a relay and a guard of its own",
    usual: leastW > mostW ? "2" : "1",
    why:
      "Two smaller heaters take turns, and heat together on the coldest days: one that dies leaves half of the heat, and " +
      "one that cannot be switched off has half of the power.",
  };
  const count = await ask(buildChoice(words, leastW > mostW ? (["2"] as const) : (["1", "2"] as const)));
  return count === "2" ? 2 : 1;
}

/** What one heater is and where it stands. */
async function askOneHeater(sitting: Sitting, heater: HeaterPart, count: 1 | 2) {
  const at = heater === "heater-1" ? "heat" : "heat.secondHeater";
  const { draft, ask } = sitting;
  const { leastW, mostW } = judgeHeaterPower(heatedBy(sitting));
  const firstW = heater === "heater-2" ? (draft.heat.heaterW as number) : 0;
  const neededW = count === 1 ? leastW : heater === "heater-1" ? leastW - mostW : leastW - firstW;
  const { power, temperature } = sitting.spoken();
  const heaterW = await ask(
    buildQuantity(
      {
        id: `${at}.heaterW`,
        asks: heater === "heater-1" ? "Power of the heater" : "Power of the second heater",
        why:
          `From its label. ${leastW} W in all hold the box in a room of ` +
          `${temperature.format(draft.heat.coldestRoomC as number)}; over ${mostW} W in one heater that sticks warm the ` +
          "water too fast for anybody to come.",
      },
      power,
      { least: Math.max(10, neededW), most: Math.min(2000, mostW) },
    ),
  );
  return { heaterW: Math.round(heaterW), ...(await askPlace(sitting, at)) };
}

async function askPlace({ ask, draft }: Sitting, at: "heat" | "heat.secondHeater") {
  const hasLowFloat = draft.inputs["low-float"] !== undefined;
  const places = "pinned-chamber (its level cannot fall) or last-chamber";
  const heaterPlace = await ask(
    buildQuestion(
      {
        id: `${at}.heaterPlace`,
        asks: "Where does it stand (pinned-chamber/last-chamber)",
        usual: "pinned-chamber",
        why: "In the last chamber the level falls and may bare it: there it needs the low float.",
      },
      places,
      (answer): Understood<string> => {
        if (answer === "pinned-chamber" || (answer === "last-chamber" && hasLowFloat)) return { value: answer };
        return answer === "last-chamber"
          ? expected("pinned-chamber: no low float is in this file, so a falling level could bare the heater")
          : expected(places);
      },
    ),
  );
  const seesFlow = draft.inputs["return-sensor"] !== undefined;
  const question = buildYesOrNo({
    id: `${at}.thermometerSharesHeaterChamber`,
    asks: "Does a thermometer hang in the same chamber as the heater",
    why: "If not, the heater stays off while the return pump is not shown running: nobody would see it cook its chamber.",
  });
  const thermometerSharesHeaterChamber = await ask({
    ...question,
    read: (answer) => {
      const understood = question.read(answer);
      return "value" in understood && !understood.value && !seesFlow
        ? expected("yes: hang one there, because no sensor of the return pump is in this file to show the flow")
        : understood;
    },
  });
  return { heaterPlace, thermometerSharesHeaterChamber };
}
