/**
 * For pages that frame the map and can add a script: gives the frame the height that its content needs.
 *
 * In: messages of frames marked `data-hostwood`. Out: the frame's height. A message counts only if it comes from that
 * very frame and from the site whose address the frame was given.
 */

/** Heights beyond these are no heights of a map, in CSS pixels. */
const HEIGHTS = { least: 200, most: 4000 } as const;

addEventListener("message", ({ source, origin, data }: MessageEvent<unknown>) => {
  for (const frame of document.querySelectorAll<HTMLIFrameElement>("iframe[data-hostwood]")) {
    if (frame.contentWindow !== source || new URL(frame.src).origin !== origin) continue;
    const height = heightIn(data);
    if (height !== null) frame.style.blockSize = `${String(height)}px`;
  }
});

function heightIn(data: unknown): number | null {
  if (typeof data !== "object" || data === null) return null;
  const { type, height } = data as { type?: unknown; height?: unknown };
  if (type !== "hostwood-height" || typeof height !== "number") return null;
  return height >= HEIGHTS.least && height <= HEIGHTS.most ? height : null;
}
