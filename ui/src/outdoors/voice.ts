/** Reading aloud by the device's own speech: only voices that work on the device itself, so that nothing leaves it. */

export interface SpokenVoice { readonly name: string; readonly lang: string; readonly localService: boolean; readonly default: boolean }
export type Standing = 'looking' | 'ready' | 'none' | 'foreign' | 'mute';
export const WHY: Record<Exclude<Standing, 'looking' | 'ready'>, string> = {
  mute: 'This browser can’t read aloud. The steps are below, one at a time.',
  none: 'This device has no voice of its own, and no other is asked: nothing leaves the device. Its settings for speech may offer one to put on it. The steps are below, one at a time.',
  foreign: 'No voice on this device speaks English, the language of this page. Its settings for speech may offer one. The steps are below, one at a time.',
};
const PATIENCE_MS = 4000;
const LOOK_MS = 250;
const plain = (lang: string): string => lang.toLowerCase().replace('_', '-');

/** The voice to read with: on the device, of the page's language, nearest to how the person's device speaks it. */
export function voiceFor<V extends SpokenVoice>(voices: readonly V[], page: string, person: string): V | undefined {
  const language = plain(page).split('-')[0]!;
  const good = voices.filter((v) => v.localService === true && plain(v.lang).split('-')[0] === language);
  return good.find((v) => plain(v.lang) === plain(person) && v.default) ?? good.find((v) => plain(v.lang) === plain(person)) ?? good.find((v) => v.default) ?? good[0];
}
/** What can be said of the voices a device has. */
export function standing(voices: readonly SpokenVoice[], page: string): Standing {
  if (voiceFor(voices, page, page)) return 'ready';
  return voices.some((v) => v.localService === true) ? 'foreign' : 'none';
}

export class Voice {
  private voice: SpeechSynthesisVoice | undefined;
  private now: SpeechSynthesisUtterance | null = null;
  private readonly speech: SpeechSynthesis | undefined = typeof speechSynthesis === 'undefined' ? undefined : speechSynthesis;

  /** Look for a voice; some browsers know theirs only a moment after the page has come. */
  async find(page: string): Promise<Standing> {
    if (!this.speech) return 'mute';
    for (let waited = 0; ; waited += LOOK_MS) {
      const voices = this.speech.getVoices();
      const found = standing(voices, page);
      if (found === 'ready') this.voice = voiceFor(voices, page, navigator.language);
      if (found === 'ready' || waited >= PATIENCE_MS || (found === 'foreign' && waited >= PATIENCE_MS / 2)) return found;
      await new Promise((go) => setTimeout(go, LOOK_MS));
    }
  }
  /** Say something now, instead of what is being said. `told` hears how it went: said, or why not. */
  say(text: string, slowly: boolean, told: (went: 'said' | 'stopped' | 'refused') => void): void {
    if (!this.speech || !this.voice) return;
    this.stop();
    const words = new SpeechSynthesisUtterance(text);
    words.voice = this.voice;
    words.lang = this.voice.lang;
    words.rate = slowly ? 0.75 : 0.95;
    words.onend = () => this.over(words, () => told('said'));
    words.onerror = (e) => this.over(words, () => told(e.error === 'interrupted' || e.error === 'canceled' ? 'stopped' : 'refused'));
    this.now = words; // held: some browsers forget one that nobody holds, and never say that it ended
    this.speech.speak(words);
  }
  stop(): void {
    this.now = null;
    this.speech?.cancel();
  }
  private over(words: SpeechSynthesisUtterance, then: () => void): void {
    if (this.now !== words) return;
    this.now = null;
    then();
  }
}
