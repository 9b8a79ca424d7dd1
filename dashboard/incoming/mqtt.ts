import MqttClient from "mqtt/lib/client";
import webSocket from "mqtt/lib/connect/ws";
import type { Connection, Listener } from "./connection.ts";

/** The only file that knows the MQTT library. Reconnects by itself until closed. */
export function openMqtt(url: URL, topic: string, listener: Listener): Connection {
  const client = new MqttClient.default((it) => webSocket.browserStreamBuilder(it, it.options), {
    protocol: url.protocol === "wss:" ? "wss" : "ws",
    hostname: url.hostname,
    port: Number(url.port) || (url.protocol === "wss:" ? 443 : 80),
    path: url.pathname,
    protocolVersion: 4,
    clientId: `page-${randomWord()}`,
    clean: true,
    keepalive: 15,
    reconnectPeriod: RECONNECT_MS,
    connectTimeout: CONNECT_TIMEOUT_MS,
    timerVariant: "native",
    // A request that waits in a queue would be carried out minutes later, when nobody means it any more.
    queueQoSZero: false,
  });
  client.on("connect", () => {
    listener.opened();
    client.subscribe(topic, { qos: 0 });
  });
  client.on("close", () => listener.closed());
  // Every failure also closes the connection, and it is the closing that the page shows.
  client.on("error", () => listener.closed());
  client.on("message", (name, payload, packet) => listener.told(name, payload.toString(), packet.retain));
  return {
    publish(name, text) {
      if (!client.connected) return false;
      client.publish(name, text, { qos: 0 });
      return true;
    },
    wake() {
      if (!client.connected && !client.reconnecting) client.reconnect();
    },
    close() {
      client.end(true);
    },
  };
}

const RECONNECT_MS = 2_000;
const CONNECT_TIMEOUT_MS = 8_000;

function randomWord(): string {
  return [...crypto.getRandomValues(new Uint8Array(8))].map((byte) => byte.toString(36).padStart(2, "0")).join("");
}
