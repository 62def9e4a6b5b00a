/** Where the screens of the outcome lead; the one who sets up the routes knows the addresses. */
export interface ResultLinks {
  assessment: string;
  map: string;
  /** null where no height was taken. */
  height: string | null;
  report: string;
  sign: string;
  setup: string;
  /** Where a gap of a finding can be filled, and with what words; null where no screen can. */
  add: (
    needs: string,
    finding: { id: string; at: string | null; part: string | null },
  ) => { href: string; words: string } | null;
  /** Opens a check, by its step id ("bearing_play@front_left/lower"). */
  step: (id: string) => string;
  finding: (id: string) => string;
  /** One picture of a check, large, with what is drawn on it. name: as findings name it. */
  photo: (id: string, name: string) => string;
}

/** A picture that can be shown: its address (a blob's or the server's) and when it was taken, in words. */
export interface ShownPhoto {
  url: string;
  caption: string;
}
