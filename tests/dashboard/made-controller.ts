import { readFile } from "node:fs/promises";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join, normalize } from "node:path";
import { Aedes } from "aedes";
import { createWebSocketStream, WebSocketServer } from "ws";
import {
  CALIBRATED,
  CALIBRATED_UNITS,
  type Calibrated,
  type CalibrationStatus,
} from "../../shared/contract/calibration.ts";
import { CAUTIONS } from "../../shared/contract/cautions.ts";
import type { HistoryAnswer, TankAnswer } from "../../shared/contract/http.ts";
import { PROOF_PARTS, type ProofPart, type ProofStatus, type ProvingStatus } from "../../shared/contract/proving.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import { alarmNode, NODES, topicOf } from "../../shared/contract/topics.ts";

/** Stands where the controller stands: a real broker and a real web server, with whatever a test wants them to say. */
export interface MadeController {
  readonly address: string;
  readonly requests: readonly { readonly kind: string; readonly body: Record<string, unknown> }[];
  /** What is answered to a request; null = nothing at all. */
  answerWith(answer: (kind: string) => { accepted: boolean; why: string } | null): void;
  tell(values: Readonly<Record<string, string>>): Promise<void>;
  /** A payload on any topic at all, as somebody else on the broker might send it. */
  tellRaw(topic: string, payload: string | Buffer, retain?: boolean): Promise<void>;
  /** Whether the clock goes on being told. */
  setSpeaking(isSpeaking: boolean): void;
  /** Ends every connection and, until told otherwise, lets nobody in again. */
  setReachable(isReachable: boolean): void;
  nowMs(): number;
  close(): Promise<void>;
}

export interface MadeTank {
  readonly water?: "real" | "rehearsal";
  readonly speed?: number;
  readonly history?: (channels: string[], fromMs: number, toMs: number, buckets: number) => HistoryAnswer | null;
}

export const MADE_ALARMS: TankAnswer["alarms"] = [
  {
    id: "water-over-high-mark",
    title: "Water over the high mark",
    priority: "high",
    cause: "The high float is wet.",
    consequence: "The water may run over the rim.",
    whatToDo: "Look at the last chamber and lift the tube out of the tank.",
    timeToRespond: "10 minutes",
  },
  {
    id: "salinity-low",
    title: "Salinity is low",
    priority: "medium",
    cause: "Fresh water came in that nothing evaporated, or the probe is fouled.",
    consequence: "Corals suffer within a day.",
    whatToDo: "Measure the salinity by hand.",
    timeToRespond: "6 hours",
  },
  {
    id: "reservoir-empty",
    title: "The reservoir is empty",
    priority: "low",
    cause: "Its float is dry.",
    consequence: "Nothing evaporated is replaced.",
    whatToDo: "Fill the reservoir with pure water.",
    timeToRespond: "a day",
  },
];

export async function makeController(site: string, made: MadeTank = {}): Promise<MadeController> {
  const tank = tankAnswer(made);
  const broker = await Aedes.createBroker();
  const requests: { kind: string; body: Record<string, unknown> }[] = [];
  let answer: (kind: string) => { accepted: boolean; why: string } | null = () => ({
    accepted: true,
    why: "It is so.",
  });
  let isSpeaking = true;
  let isReachable = true;
  const startedMs = Date.now();
  const nowMs = (): number => startedMs + (Date.now() - startedMs) * tank.speed;

  const tellRaw = (topic: string, payload: string | Buffer, retain = true): Promise<void> =>
    new Promise((resolve, reject) =>
      broker.publish({ cmd: "publish", topic, payload, qos: 0, retain, dup: false }, (error) =>
        error ? reject(error) : resolve(),
      ),
    );
  const tell = async (values: Readonly<Record<string, string>>): Promise<void> => {
    for (const [place, text] of Object.entries(values)) {
      const [node = "", property = ""] = place.split("/");
      await tellRaw(topicOf(tank.tank, node, property), text);
    }
  };
  broker.on("publish", (packet, client) => {
    const kind = new RegExp(`^homie/5/${tank.tank}/request/([a-z-]+)/set$`).exec(packet.topic)?.[1];
    if (client === null || kind === undefined) return;
    const body = JSON.parse(packet.payload.toString()) as Record<string, unknown>;
    requests.push({ kind, body });
    const given = answer(kind);
    if (given !== null)
      tellRaw(topicOf(tank.tank, "request", "outcome"), JSON.stringify({ id: body.id, ...given }), false);
  });

  const server = serveSite(site, tank, made.history);
  const sockets = new WebSocketServer({ noServer: true, handleProtocols: () => "mqtt" });
  server.on("upgrade", (request, socket, head) => {
    if (!isReachable || request.url !== tank.mqttPath) return void socket.destroy();
    sockets.handleUpgrade(request, socket, head, (webSocket) =>
      broker.handle(createWebSocketStream(webSocket), request),
    );
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const beat = setInterval(() => {
    if (isSpeaking) void tell({ "box/clock": new Date(nowMs()).toISOString() });
  }, 400);
  await tellRaw(`homie/5/${tank.tank}/$state`, "ready");
  await tell({ ...everyProperty(), ...calmTank(nowMs(), made.water ?? "real") });

  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    requests,
    answerWith(next) {
      answer = next;
    },
    tell,
    tellRaw,
    setSpeaking(next) {
      isSpeaking = next;
    },
    setReachable(next) {
      isReachable = next;
      if (!next) for (const socket of sockets.clients) socket.terminate();
    },
    nowMs,
    async close() {
      clearInterval(beat);
      for (const socket of sockets.clients) socket.terminate();
      await new Promise<void>((resolve) => broker.close(resolve));
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

function tankAnswer(made: MadeTank): TankAnswer {
  return {
    version: 1,
    tank: "living-room",
    name: "Living room",
    units: { temperature: "°C", volume: "L", length: "mm" },
    water: made.water ?? "real",
    speed: made.speed ?? 1,
    mqttPath: "/mqtt",
    targets: {
      temperatureC: 25,
      salinity: 35,
      temperatureBandC: [24.5, 25.5],
      temperatureLimitsC: [23, 28],
      salinityBand: [34, 36],
      salinityLimits: [32, 38],
    },
    geometry: { netVolumeL: 140, highFloatMm: 40, lowFloatMm: -60, reservoirL: 4.1 },
    alarms: MADE_ALARMS,
    cautions: CAUTIONS,
  };
}

/** The whole tree of the contract, empty, so that the page meets every topic there is. */
function everyProperty(): Record<string, string> {
  const nodes = {
    ...NODES,
    ...Object.fromEntries(MADE_ALARMS.map(({ id, title }) => [`alarm-${id}`, alarmNode(title)])),
  };
  return Object.fromEntries(
    Object.entries(nodes)
      .filter(([node]) => node !== "request")
      .flatMap(([node, { properties }]) => Object.keys(properties).map((property) => [`${node}/${property}`, ""])),
  );
}

export function measured(
  node: string,
  atMs: number,
  value: string,
  uncertainty: string,
  quality = "good",
  doubt = "",
  lastValue = value,
): Record<string, string> {
  return {
    [`${node}/value`]: value,
    [`${node}/uncertainty`]: uncertainty,
    [`${node}/quality`]: quality,
    [`${node}/doubt`]: doubt,
    [`${node}/last-value`]: lastValue,
    [`${node}/measured-at`]: new Date(atMs).toISOString(),
  };
}

export function standingAlarm(id: string, atMs: number, state = "unacknowledged"): Record<string, string> {
  const words = MADE_ALARMS.find((known) => known.id === id);
  return {
    [`alarm-${id}/state`]: state,
    [`alarm-${id}/priority`]: words?.priority ?? "high",
    [`alarm-${id}/since`]: new Date(atMs).toISOString(),
    [`alarm-${id}/message`]: words?.consequence ?? "",
    [`alarm-${id}/what-to-do`]: words?.whatToDo ?? "",
    [`alarm-${id}/first-up`]: "true",
    [`alarm-${id}/times-in-hour`]: "1",
  };
}

const DAY_MS = 86_400_000;

/** Every part proven twelve days ago, but for what a test says of it. */
export function madeProving(
  parts: { readonly [Part in ProofPart]?: Partial<ProofStatus> } = {},
  status: Partial<ProvingStatus> = {},
): Record<string, string> {
  const proof = (part: ProofPart): ProofStatus => ({
    standing: "proven",
    ageMs: 12 * DAY_MS,
    by: "Kim",
    reading: part === "top-off-pump" ? { value: 25.3, unit: "mL/s" } : null,
    gates: part.startsWith("heat") ? "heat" : "top-off",
    ready: false,
    next: `What to do to show the ${part}.`,
    ...parts[part],
  });
  const all: ProvingStatus = {
    parts: Object.fromEntries(PROOF_PARTS.map((part) => [part, proof(part)])) as ProvingStatus["parts"],
    next: null,
    run: null,
    lastRun: null,
    atTankLeftMs: 0,
    fallen: [],
    ...status,
  };
  return { "proving/status": JSON.stringify(all), "proving/next": all.next ?? "" };
}

/** As the made tank says of itself. */
const MADE_MARKS_MM: { readonly [What in Calibrated]?: number } = { "high-float-mm": 40, "low-float-mm": -60 };

export function madeCalibration(status: Partial<CalibrationStatus> = {}): Record<string, string> {
  const inForce = Object.fromEntries(
    CALIBRATED.map((what) => [
      what,
      { value: MADE_MARKS_MM[what] ?? 1, unit: CALIBRATED_UNITS[what], number: null, ageMs: null },
    ]),
  ) as CalibrationStatus["inForce"];
  return { "calibration/status": JSON.stringify({ inForce, session: null, entries: [], ...status }) };
}

export function calmTank(atMs: number, water: "real" | "rehearsal"): Record<string, string> {
  return {
    "box/sentence": "All is well: 25.0 °C, salinity 35.0, water at its mark.",
    "box/water": water,
    "box/clock": new Date(atMs).toISOString(),
    ...measured("temperature", atMs, "25.02", "0.21"),
    ...measured("salinity", atMs, "34.81", "0.87"),
    ...measured("specific-gravity", atMs, "1.02642", "0.00066"),
    ...measured("room", atMs, "21.4", "0.5"),
    ...Object.fromEntries(MADE_ALARMS.map(({ id }) => [`alarm-${id}/state`, "normal"])),
    "level/state": "at-mark",
    "level/from-mm": "0",
    "level/to-mm": "40",
    "level/estimate-mm": "6",
    "working-float/position": "full",
    "high-float/position": "dry",
    "low-float/position": "covered",
    "reservoir-float/position": "has-water",
    "floor-sensor/position": "dry",
    "mains-sensor/position": "not-fitted",
    "return-sensor/position": "running",
    "top-off/state": "resting",
    "top-off/why": REASONS["water-at-mark"],
    "top-off/budget-left": "1.85",
    "top-off/poured-total": "41.30",
    "top-off/excess": "0.12",
    "top-off/excess-limit": "2.00",
    "top-off/due": "0.05",
    "top-off/reservoir": "2.9",
    "top-off/reservoir-days": "1.9",
    "heat/state": "off",
    "heat/why": REASONS["temperature-in-band"],
    "heat/duty": "38",
    "heat/setpoint": "25",
    "hold/active": "false",
    "hold/question": "false",
    "top-off-pump/on": "false",
    "heater-1/on": "false",
    "water-guard/closed": "false",
    "heat-guard/closed": "true",
    "scan/count": "123456",
    "scan/late": "0",
    "scan/missed": "0",
    "scan/overlong": "0",
    "scan/worst-ms": "0.4",
    "scan/board": "ready",
    "scan/disk": "working",
    ...madeProving(),
    ...madeCalibration(),
  };
}

/** A made record: a slow wave of half an hour, with nothing between 2 h and 1.5 h ago. */
export function wavyHistory(channels: string[], fromMs: number, toMs: number, buckets: number): HistoryAnswer {
  const bucketMs = (toMs - fromMs) / buckets;
  const atMs = Array.from({ length: buckets }, (_, n) => fromMs + (n + 0.5) * bucketMs);
  const centres: Record<string, [number, number]> = {
    temperature: [25, 0.3],
    salinity: [34.9, 0.15],
    "top-off-poured": [40.5, 0],
  };
  const columns = (channel: string, offset: number) =>
    atMs.map((at) => {
      const agoMs = toMs - at;
      if (agoMs > 1.5 * 3_600_000 && agoMs < 2 * 3_600_000) return null;
      const [centre, height] = centres[channel] ?? [0, 0];
      return centre + height * Math.sin((at / 1_800_000) * Math.PI) + offset * height * 0.3;
    });
  return {
    version: 1,
    atMs,
    channels: Object.fromEntries(
      channels.map((channel) => [
        channel,
        { min: columns(channel, -1), max: columns(channel, 1), last: columns(channel, 0) },
      ]),
    ),
  };
}

const TYPES: ReadonlyMap<string, string> = new Map([
  [".html", "text/html; charset=utf-8"],
  [".js", "text/javascript; charset=utf-8"],
  [".css", "text/css; charset=utf-8"],
  [".svg", "image/svg+xml"],
]);

const CONTENT_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; " +
  "frame-ancestors 'none'; connect-src 'self'";

function serveSite(site: string, tank: TankAnswer, history: MadeTank["history"]): Server {
  return createServer(async (request, response) => {
    const url = new URL(request.url ?? "/", "http://127.0.0.1");
    // As strict as the controller's own server: no inline code, no inline styles, nothing from elsewhere.
    response.setHeader("content-security-policy", `${CONTENT_POLICY} ws://${request.headers.host}`);
    if (url.pathname === "/api/v1/tank") return void response.end(JSON.stringify(tank));
    if (url.pathname === "/api/v1/history") {
      const asked = (name: string): number => Number(url.searchParams.get(name));
      const channels = (url.searchParams.get("channels") ?? "").split(",");
      const answer = (history ?? wavyHistory)(channels, asked("fromMs"), asked("toMs"), asked("buckets"));
      response.statusCode = answer === null ? 500 : 200;
      return void response.end(JSON.stringify(answer));
    }
    const path = normalize(url.pathname === "/" ? "/index.html" : url.pathname);
    try {
      // As the controller does: the compressed copy is what a browser gets.
      const body = await readFile(join(site, `${path}.br`));
      response.setHeader("content-encoding", "br");
      response.setHeader("content-type", TYPES.get(extname(path)) ?? "application/octet-stream");
      response.end(body);
    } catch {
      // No such file: what a web server says then.
      response.statusCode = 404;
      response.end("not found");
    }
  });
}
