import { Duplex } from "node:stream";

/**
 * A stream that ends when a packet of more than `mostBytes` is announced, before its content is gathered: the broker's
 * parser itself would wait for up to 256 MB. Reads the fixed header of each packet (MQTT 3.1.1, section 2.2): one byte
 * of type, then the remaining length in one to four bytes of seven bits.
 */
export function limitPackets(inner: Duplex, mostBytes: number): Duplex {
  const measure = packetMeasure(mostBytes);
  const outer = new Duplex({
    read: () => inner.resume(),
    write: (chunk, _encoding, done) => {
      inner.write(chunk, done);
    },
    final: (done) => {
      inner.end(done);
    },
    destroy: (error, done) => {
      inner.destroy();
      done(error);
    },
  });
  inner.on("data", (chunk: Buffer) => {
    if (!measure(chunk)) outer.destroy(new Error(`a packet of more than ${mostBytes} bytes`));
    else if (!outer.push(chunk)) inner.pause();
  });
  inner.once("end", () => outer.push(null));
  inner.once("error", (error) => outer.destroy(error));
  inner.once("close", () => outer.destroy());
  return outer;
}

/** Takes the bytes of a connection piece by piece; false from the first packet that is too long, or no packet at all. */
export function packetMeasure(mostBytes: number): (chunk: Uint8Array) => boolean {
  let leftOfPacket = 0;
  let headerBytes = 0;
  let length = 0;
  return (chunk) => {
    let at = 0;
    while (at < chunk.length) {
      if (leftOfPacket > 0) {
        const taken = Math.min(leftOfPacket, chunk.length - at);
        leftOfPacket -= taken;
        at += taken;
        continue;
      }
      const byte = chunk[at] as number;
      at += 1;
      headerBytes += 1;
      if (headerBytes === 1) continue;
      length += (byte & 0x7f) * 128 ** (headerBytes - 2);
      if (length > mostBytes || headerBytes > 5) return false;
      if (byte >= 0x80) continue;
      leftOfPacket = length;
      [headerBytes, length] = [0, 0];
    }
    return true;
  };
}
