/* What tells the hands when, from a phone that lies out of reach: a tone, a voice where there is one,
   and a shake, but no shake while it records: it would be recorded. */

export class Cue {
  #sound: AudioContext | null = null;

  /** Call it in the tap: sound is allowed only from there. */
  open(): void {
    if (typeof AudioContext === "undefined") return;
    this.#sound ??= new AudioContext();
    void this.#sound.resume();
  }

  count(): void {
    this.#tone(440, 0.1);
    navigator.vibrate?.(60);
  }
  push(): void {
    this.#tone(880, 0.35);
    this.#speak("Push");
  }
  letGo(): void {
    this.#tone(330, 0.35);
    this.#speak("Let go");
  }
  done(): void {
    this.#tone(660, 0.12);
    navigator.vibrate?.([120, 80, 120]);
  }

  close(): void {
    void this.#sound?.close();
    this.#sound = null;
    window.speechSynthesis?.cancel();
  }

  #tone(hertz: number, seconds: number): void {
    const sound = this.#sound;
    if (sound?.state !== "running") return;
    const note = sound.createOscillator();
    note.frequency.value = hertz;
    note.connect(sound.destination);
    note.start();
    note.stop(sound.currentTime + seconds);
  }

  #speak(text: string): void {
    window.speechSynthesis?.speak(new SpeechSynthesisUtterance(text));
  }
}
