import { post } from './client';
import { smallPicture } from './shrink';

/** A plan to trace, kept in the garden's file: its name there and its size [px]. */
export async function keptPlan(file: File): Promise<{ picture: string; wide: number; high: number }> {
  const picture = await smallPicture(file);
  const image = new Image();
  image.src = picture;
  await image.decode();
  const { id } = await post<{ id: string }>('/api/pictures', { picture, words: 'A plan to trace' });
  return { picture: id, wide: image.naturalWidth, high: image.naturalHeight };
}
