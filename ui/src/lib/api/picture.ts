/** A page of a sheet as a picture the page can show, and how many pages there are. */
import { reached, Refusal, withQuery, type Query } from './client';

export interface PagePicture { url: string; pages: number }

export async function pagePicture(id: string, query: Query, signal: AbortSignal): Promise<PagePicture> {
  const [reply, text] = await reached(withQuery(`/api/papers/preview/${encodeURIComponent(id)}.svg`, query), { signal }, (r) => r.text());
  if (!reply.ok) throw new Refusal(reply.status, said(text));
  const url = URL.createObjectURL(new Blob([text], { type: 'image/svg+xml' }));
  return { url, pages: Number(reply.headers.get('X-Pages') ?? 1) || 1 };
}

function said(text: string): string {
  try {
    const body = JSON.parse(text) as { error?: string };
    return body.error ?? 'This sheet can’t be drawn now.';
  } catch {
    return 'This sheet can’t be drawn now.';
  }
}
