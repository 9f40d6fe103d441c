import { post } from './client';
import { smallPicture } from './shrink';

/** A plan to trace, small enough to keep: as an address that holds it, and its size [px]. */
export async function smallPlan(file: File): Promise<{ picture: string; wide: number; high: number }> {
  const picture = await smallPicture(file);
  const image = new Image();
  image.src = picture;
  await image.decode();
  return { picture, wide: image.naturalWidth, high: image.naturalHeight };
}
/** The same, kept in the garden's file: its name there and its size [px]. */
export async function keptPlan(file: File): Promise<{ picture: string; wide: number; high: number }> {
  const plan = await smallPlan(file);
  const { id } = await post<{ id: string }>('/api/pictures', { picture: plan.picture, words: 'A plan to trace' });
  return { ...plan, picture: id };
}
