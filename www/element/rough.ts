/**
 * A rough picture of what is in view, there before its tiles are.
 *
 * In: tiles of a farther zoom as pictures, and for each frame the view. Out: one layer that shows them enlarged, and
 * nothing once they are dropped. Left to others: which tiles these are and when the sharp ones are there
 * (map-canvas.ts).
 */
import Layer from "ol/layer/Layer.js";
import type { FrameState } from "ol/Map.js";

/** A picture and the part of the map that it shows, in map metres. */
interface Piece {
  picture: ImageBitmap;
  west: number;
  north: number;
  side: number;
}

/** The rough picture and its layer. */
export class Rough {
  readonly layer: Layer;
  readonly #canvas = document.createElement("canvas");
  #pieces: Piece[] = [];

  constructor() {
    this.#canvas.className = "rough";
    this.#canvas.style.position = "absolute";
    this.#canvas.style.inset = "0";
    this.layer = new Layer({
      visible: false,
      render: (frame: FrameState | null) => {
        if (frame !== null) this.#draw(frame);
        return this.#canvas;
      },
    });
  }

  /** Takes one more piece, which is given back when the picture is dropped. */
  add(piece: Piece): void {
    this.#pieces.push(piece);
    this.layer.setVisible(true);
    this.layer.changed();
  }

  /** The sharp picture is there, or the rough one is out of date. */
  drop(): void {
    for (const { picture } of this.#pieces) picture.close();
    this.#pieces = [];
    // A canvas without pixels takes no memory.
    this.#canvas.width = 0;
    this.layer.setVisible(false);
  }

  #draw(state: FrameState): void {
    const [width = 0, height = 0] = state.size;
    const scale = state.pixelRatio / state.viewState.resolution;
    const [x = 0, y = 0] = state.viewState.center;
    const across = Math.round(width * state.pixelRatio);
    const down = Math.round(height * state.pixelRatio);
    // Setting the size clears the canvas.
    this.#canvas.width = across;
    this.#canvas.height = down;
    this.#canvas.style.inlineSize = `${String(width)}px`;
    this.#canvas.style.blockSize = `${String(height)}px`;
    const context = this.#canvas.getContext("2d");
    for (const { picture, west, north, side } of this.#pieces) {
      const left = (west - x) * scale + across / 2;
      const top = (y - north) * scale + down / 2;
      context?.drawImage(picture, left, top, side * scale, side * scale);
    }
  }
}
