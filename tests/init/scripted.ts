import type { Conversation } from "../../controller/cli/conversation/question.ts";

/** What a keeper would type, by the name of the question; several are given one after another. */
export type Script = Readonly<Record<string, string | readonly string[]>>;

export interface Scripted extends Conversation {
  readonly said: readonly string[];
  readonly asked: readonly string[];
  readonly refused: readonly { readonly id: string; readonly answer: string; readonly refused: string }[];
}

/** Answers by a script; what is not in it gets an empty line, which takes the usual answer. */
export function scripted(script: Script | ((id: string) => string)): Scripted {
  const said: string[] = [];
  const asked: string[] = [];
  const refused: { id: string; answer: string; refused: string }[] = [];
  const answerTo = (id: string): string => {
    if (typeof script === "function") return script(id);
    const answers = [script[id] ?? ""].flat();
    const before = asked.filter((earlier) => earlier === id).length - 1;
    return answers[Math.min(before, answers.length - 1)] as string;
  };
  return {
    said,
    asked,
    refused,
    say: (text) => void said.push(text),
    async ask({ id, usual, read }) {
      for (let tries = 0; tries < 200; tries += 1) {
        asked.push(id);
        const typed = answerTo(id);
        const answer = typed === "" ? (usual ?? "") : typed;
        const understood = read(answer);
        if ("value" in understood) return understood.value;
        refused.push({ id, answer, refused: understood.refused });
      }
      throw new Error(`no answer to ${id} was accepted: ${JSON.stringify(refused.at(-1))}`);
    },
  };
}

/** The reference box, with what has no usual answer. */
export const REFERENCE_BOX: Script = {
  "tank.netVolumeL": "140",
  "board.port": "/dev/ttyACM0",
  "inputs.thermometer-1": "one-wire",
  "inputs.thermometer-1.device": "28-0316a2795caa",
  "heat.heaterW": "200",
  "heat.thermometerSharesHeaterChamber": "yes",
  "tank.lastChamberM2": "250 x 80",
  "tank.surfaceM2": "730 x 480",
  "tank.pumpOffLevelMm": "60",
  "tank.highFloatMm": "70",
  "topOff.provenFlow": "750",
  "topOff.evaporationLPerDay": "1.5",
  "tank.freeVolumePumpOffL": "10.5 L",
  "tank.freeVolumeWeirBlockedL": "4.4 L",
  "topOff.reservoirL": "4",
};
