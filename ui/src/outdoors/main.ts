import { mount } from 'svelte';
import '../theme/theme.css';
import '../theme/base.css';
import { get, post, Refusal } from '../lib/api/client';
import { Carry, type Link } from './carry.svelte';
import Outdoors from './Outdoors.svelte';
import { USUAL, viewsAddress, type BothViews } from '../lib/api/both';
import { dayAddress, type DayDone } from '../lib/api/day';
import type { Live } from '../lib/saturday/steps';
import { openKeep } from './keep';
import { lit } from './kept';
import { openPictures } from './pictures';
import type { BackReply, Pack } from './types';

const target = document.getElementById('app');
if (!target) throw new Error('the page has no element with the id "app"');

/** A page carried out alone holds its pack; any other asks the program for it. */
const held = document.getElementById('pack')?.textContent ?? '';
const given = held ? (JSON.parse(held) as Pack) : null;
/** A network that breaks off in the middle leaves a question hanging: it is given up after a while and asked again. */
const patience = (s: number): AbortSignal | undefined => ('timeout' in AbortSignal ? AbortSignal.timeout(s * 1000) : undefined);
const link: Link = {
  home: ['127.0.0.1', 'localhost', '[::1]'].includes(location.hostname),
  pack: () => get<Pack>('/api/outdoors/pack', {}, patience(25)),
  together: () => get<Live>('/api/outdoors/together', {}, patience(6)),
  views: (job, at = '', when = USUAL) => get<BothViews>(viewsAddress(job, when, at)),
  day: (day) => get<DayDone>(dayAddress(day), {}, patience(25)),
  give: (back) => post<BackReply>('/api/outdoors/notes', back, patience(60)),
  enter: async (phrase) => {
    const reply = await post<{ ok: boolean; error?: string }>('/api/door', { phrase });
    if (!reply.ok) throw new Refusal(403, reply.error ?? 'That is not the pass phrase.');
  },
};
if (!given && window.isSecureContext && 'serviceWorker' in navigator) {
  void navigator.serviceWorker.register('./keep.js').catch(() => undefined);
}
lit();
const carry = new Carry(await openKeep(), given ? null : link, openPictures());
mount(Outdoors, { target, props: { carry } });
await carry.start(given);
