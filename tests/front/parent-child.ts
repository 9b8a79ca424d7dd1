import { readFileSync } from "node:fs";
import { openFront } from "../../controller/front/supervisor.ts";
import { createNotebook } from "../../controller/record/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

/** Opens the real front on a folder, says its process id, and does nothing more. */
const front = openFront({
  opening: {
    settings: rehearsalSettings(),
    water: "rehearsal",
    speed: 1,
    folder: process.argv[2] ?? "",
    alarms: [],
  },
  ports: { web: 0, mqtt: 0 },
  notebook: createNotebook(),
  onRequest: () => undefined,
  onListening: () => {
    const children = readFileSync(`/proc/${process.pid}/task/${process.pid}/children`, "utf8");
    process.stdout.write(`front ${children.trim()}\n`);
  },
  say: (line) => process.stderr.write(`${line}\n`),
});
setInterval(() => front.state(), 1_000);
