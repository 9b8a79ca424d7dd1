import type { Checker, Scene } from "./scene.ts";

/**
 * S3: after a latched trip the pump stays off until a person cleared it, whatever becomes of the memory meanwhile.
 * The checker keeps the latch itself, so that a controller that forgets it is caught.
 */
export function latchHolds(): Checker {
  let locked: string | null = null;
  return (scene) => {
    const { record, commands } = scene;
    if (locked !== null && clearedByPerson(scene)) locked = null;
    locked ??= record.topOff.latch?.reason ?? null;
    if (locked === null) return null;
    if (commands["top-off-pump"]) return `the pump is on although ${locked} was never cleared`;
    if (record.topOff.latch === null) return `${locked} vanished and nobody cleared it`;
    return null;
  };
}

function clearedByPerson({ image, record }: Scene): boolean {
  return image.requests.some(
    (request) =>
      request.kind === "clear" &&
      request.machine === "top-off" &&
      record.outcomes.some((outcome) => outcome.id === request.id && outcome.accepted),
  );
}
