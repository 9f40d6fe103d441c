/** A page's own speech: whether the device has a voice, whether it is speaking, what went wrong. */
import { Voice, type Standing } from './voice';

const REFUSED = 'This device would not speak just now. Try again, or look at its volume.';

export class Speaker {
  standing = $state<Standing>('looking');
  begun = $state(false);
  speaking = $state(false);
  fault = $state('');
  private readonly voice = new Voice();

  get ready(): boolean {
    return this.standing === 'ready';
  }
  async find(): Promise<void> {
    this.standing = await this.voice.find(document.documentElement.lang || 'en');
  }
  say(text: string, slowly = false): void {
    if (!this.ready) return;
    this.begun = this.speaking = true;
    this.fault = '';
    this.voice.say(text, slowly, (went) => {
      this.speaking = false;
      if (went === 'refused') this.fault = REFUSED;
    });
  }
  quiet(): void {
    this.voice.stop();
    this.speaking = false;
  }
}
