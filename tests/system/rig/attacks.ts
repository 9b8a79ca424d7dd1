import { type ChildProcess, spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { get } from "node:http";
import { connect, type Socket } from "node:net";
import { pause } from "./until.ts";

/** What somebody on the network, or a broken machine, may do to the process that serves people. */

/** CONNECT with protocol level 4, clean session, no keep-alive (MQTT 3.1.1, section 3.1). */
const connectPacket = (name: string): Buffer => {
  const id = Buffer.from(name);
  const body = Buffer.concat([Buffer.from([0, 4]), Buffer.from("MQTT"), Buffer.from([4, 2, 0, 0, 0, id.length]), id]);
  return Buffer.concat([Buffer.from([0x10, body.length]), body]);
};
/** SUBSCRIBE to `#` at QoS 0 (section 3.8). */
const SUBSCRIBE_ALL = Buffer.from([0x82, 6, 0, 1, 0, 1, 0x23, 0]);
/** PUBLISH of nothing to the topic `a` at QoS 0: the smallest there is (section 3.3). */
const SMALL_PUBLISH = Buffer.from([0x30, 3, 0, 1, 0x61]);

let names = 0;

function mqttSocket(port: number): Socket {
  names += 1;
  const socket = connect(port, "127.0.0.1");
  socket.on("error", () => undefined);
  socket.write(connectPacket(`attacker-${names}`));
  return socket;
}

/** Four plain connections: one asks for everything and stops reading, the others send 3,000 tiny packets together. */
export async function floodBroker(port: number): Promise<void> {
  const subscriber = mqttSocket(port);
  subscriber.write(SUBSCRIBE_ALL);
  await pause(200);
  subscriber.pause();
  const senders = [1, 2, 3].map(() => mqttSocket(port));
  await pause(100);
  for (let round = 0; round < 10; round += 1) {
    for (const sender of senders) sender.write(Buffer.concat(Array(100).fill(SMALL_PUBLISH)));
    await pause(20);
  }
  await pause(500);
  for (const socket of [subscriber, ...senders]) socket.destroy();
}

/** So many requests a second from so many clients, each of which comes again whenever it is dropped; how many in all. */
export async function floodRequests(
  port: number,
  tank: string,
  perSecond: number,
  isOver: () => boolean,
  clients = 3,
): Promise<number> {
  const topic = Buffer.from(`homie/5/${tank}/request/hold/set`);
  let sent = 0;
  const packet = () => {
    sent += 1;
    const payload = Buffer.from(JSON.stringify({ id: `flood-${sent}`, minutes: 1 }));
    const length = 2 + topic.length + payload.length;
    return Buffer.concat([Buffer.from([0x30, length, 0, topic.length]), topic, payload]);
  };
  const sockets = Array.from({ length: clients }, () => mqttSocket(port));
  while (!isOver()) {
    for (let index = 0; index < clients; index += 1) {
      if (sockets[index]?.destroyed) sockets[index] = mqttSocket(port);
      for (let count = 0; count < perSecond / clients / 20; count += 1) sockets[index]?.write(packet());
    }
    await pause(50);
  }
  for (const socket of sockets) socket.destroy();
  return sent;
}

/** Reads of the whole history, all at once; the statuses, 0 = no answer. */
export function readHistoryAtOnce(address: string, parallel: number): Promise<readonly number[]> {
  const nowMs = Date.now();
  const path = `api/v1/history?channels=temperature,salinity,room&fromMs=${nowMs - 14 * 86_400_000}&toMs=${nowMs}&buckets=1500`;
  const read = () =>
    new Promise<number>((resolve) => {
      const asking = get(`${address}${path}`, { agent: false }, (answer) => {
        answer.resume();
        answer.on("end", () => resolve(answer.statusCode ?? 0));
      });
      asking.on("error", () => resolve(0));
    });
  return Promise.all(Array.from({ length: parallel }, read));
}

/** Processes that want all of the processor. */
export function hogProcessor(processes: number): () => void {
  const hogs: ChildProcess[] = Array.from({ length: processes }, () =>
    spawn(process.execPath, ["-e", "for (;;);"], { stdio: "ignore" }),
  );
  return () => {
    for (const hog of hogs) hog.kill("SIGKILL");
  };
}

/** The front of a scan's process: its only child that is a Node of ours. */
export function frontOf(pid: number): number | null {
  const children = readFileSync(`/proc/${pid}/task/${pid}/children`, "utf8").split(" ").filter(Boolean).map(Number);
  return children.find((child) => commandOf(child).includes("front/start.mjs")) ?? null;
}

function commandOf(pid: number): string {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, "utf8");
  } catch {
    return "";
  }
}
