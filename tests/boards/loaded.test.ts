import { createRequire } from "node:module";
import { expect, it } from "vitest";
import { openBoards } from "../../controller/boards/index.ts";
import { settingsSchema } from "../../shared/settings/index.ts";

const nowMs = () => performance.now();
const LIBRARIES = ["johnny-five", "firmata-io", "serialport", "modbus-serial"];
const loaded = () => {
  const files = Object.keys(createRequire(import.meta.url).cache);
  return LIBRARIES.filter((name) => files.some((file) => file.includes(`/node_modules/${name}/`)));
};

it("no board: no library loaded; Modbus line: its own only; Firmata board: johnny-five", async () => {
  const open = async (boards: object) => (await openBoards(settingsSchema.parse({ boards }), nowMs)).close();
  await open({});
  await open({ bus: { kind: "one-wire", folder: "/no-such-folder" } });
  expect(loaded()).toEqual([]);
  await open({ line: { kind: "modbus", port: "/dev/no-such-port" } });
  expect(loaded()).toContain("modbus-serial");
  expect(loaded()).not.toContain("johnny-five");
  await open({ io: { kind: "firmata", port: "/dev/no-such-port" } });
  expect(loaded()).toContain("johnny-five");
});
