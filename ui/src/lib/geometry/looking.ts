/** Looking closely at a picture in a frame: how large it is shown first, and where the keys bring the cross. */
export interface Size { readonly w: number; readonly h: number }
/** Each step of looking closer, against the whole picture in its frame. */
export const CLOSER = [1, 1.5, 2, 3, 4, 6, 8] as const;
/** A picture shown narrower or lower than this is a strip: two points can't be told apart well on it [screen px]. */
const STRIP_PX = 200;
/** How far a key moves the cross, and how far with Shift [screen px]. */
const FAR_PX = 12;
const FINE_PX = 1;

/** How many screen px one px of the picture takes when all of it is in the frame. */
export function whole(picture: Size, frame: Size): number {
  return Math.min(frame.w / picture.w, frame.h / picture.h, 1e3);
}

/** The step at which it is first shown: the whole, but a strip as close as its frame allows. */
export function firstStep(picture: Size, frame: Size): number {
  const scale = whole(picture, frame);
  const thin = Math.min(picture.w, picture.h) * scale;
  const wanted = Math.min(STRIP_PX, picture.w < picture.h ? frame.w : frame.h);
  const found = CLOSER.findIndex((k) => thin * k >= wanted);
  // Never wider than the frame at first: a strip is then moved along in one direction only.
  const most = CLOSER.filter((k) => (picture.w < picture.h ? picture.w : picture.h) * scale * k <= (picture.w < picture.h ? frame.w : frame.h)).length - 1;
  return Math.max(0, Math.min(found < 0 ? CLOSER.length - 1 : found, most));
}

const WAYS: Record<string, readonly [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** Where a key brings the cross [px of the picture], at `scale` screen px each; null for a key that moves nothing. */
export function moved(cross: readonly [number, number], key: string, fine: boolean, scale: number, picture: Size): [number, number] | null {
  const way = WAYS[key];
  if (!way) return null;
  const step = (fine ? FINE_PX : FAR_PX) / scale;
  const within = (v: number, most: number) => Math.min(most, Math.max(0, Math.round(v * 10) / 10));
  return [within(cross[0] + way[0] * step, picture.w), within(cross[1] + way[1] * step, picture.h)];
}
