import type { Dialogue } from "./dialogue.ts";
import type { Draft } from "./draft.ts";
import { line, numberAt } from "./questions.ts";

/** The box itself, and what it should be like. */
export async function askBox({ ask, say }: Dialogue, draft: Draft): Promise<void> {
  const name = await ask(
    line(
      {
        id: "tank.name",
        asks: "What is the tank called",
        usual: "Reef box",
        why: "Its name on every page and message.",
      },
      "1 to 60 characters",
      (answer) => answer.length >= 1 && answer.length <= 60,
    ),
  );
  draft.tank.id = idFrom(name);
  draft.tank.name = name;
  say(`On the network, and as a folder on disk, it is called ${draft.tank.id}.`);
  draft.tank.netVolumeL = await ask(
    numberAt("tank.netVolumeL", "L", {
      asks: "Water in display and rear chambers",
      why:
        "Rock, sand and the air above count against the glass: the net volume is what a meter or marked buckets showed " +
        "at the first fill. Litres, salt and heat are all reckoned from it.",
    }),
  );
  draft.targets.temperatureC = await ask(
    numberAt("targets.temperatureC", "°C", {
      asks: "Temperature to hold",
      usual: "25",
      why: "Reef tanks are kept at 24 to 27 °C (common practice); steady matters more than exact.",
    }),
  );
  draft.targets.salinity = await ask(
    numberAt("targets.salinity", "", {
      asks: "Practical salinity to hold",
      usual: "35",
      why: "Natural sea water has about 35. This is salinity, not specific gravity.",
    }),
  );
}

/** A name that fits into a topic. */
export function idFrom(name: string): string {
  const plain = name
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+/, "");
  return plain.slice(0, 32).replace(/-+$/, "") || "reef-box";
}
