/** A controller's hands without its head: everything on, renewed and fed ten times a second, until somebody kills it. */
import { openField } from "../../controller/outputs/field.ts";
import { EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { settingsSchema } from "../../shared/settings/index.ts";
import { GUARD_PINS } from "../system/rig/guard-firmware.ts";

const [port] = process.argv.slice(2);
const output = (pin: number) => ({ board: "io", pin, energisedLevel: "high" });
const settings = settingsSchema.parse({
  boards: { io: { kind: "firmata", port, firmware: "guard" } },
  inputs: { "high-float": { board: "io", pin: 3, closedWhen: "off" } },
  outputs: {
    "top-off-pump": output(GUARD_PINS.pump),
    "water-guard": output(GUARD_PINS.waterGuard),
    "heater-1": output(GUARD_PINS.heater),
    "heat-guard": output(GUARD_PINS.heatGuard),
  },
});
const nowMs = () => performance.now();
const field = await openField(settings, nowMs);
setInterval(() => {
  field.look(nowMs());
  field.command(
    { ...EVERYTHING_OFF, "top-off-pump": true, "heater-1": true, "water-guard": true, "heat-guard": true },
    nowMs(),
  );
}, 100);
