/* The three documents that cross every boundary, as types: guide, record, assessment.
   Made and read by the one engine (inspect_app/engine); here they are only carried and shown. */

export type StopId = "on_wheels" | "corner" | "lifted" | "moving" | "shop" | "stripped";
export type Zone = "A" | "B" | "C" | "D" | "?";
export type Risk = "low" | "medium" | "serious" | "high";
export type Purpose = "purchase" | "intake" | "going_out" | "coming_back" | "periodic";
export type UseStyle = "easy" | "mixed" | "hard" | "race";
export type MachineKind =
  | "sport_side_by_side"
  | "utility_side_by_side"
  | "quad"
  | "buggy"
  | "light_truck"
  | "desert_truck"
  | "motorcycle"
  | "other";
export type DamperKind =
  "coilover" | "internal_bypass" | "external_bypass" | "plain" | "air" | "telescopic_fork";
export type Money = string; // a decimal, never a float: "1720.00"
export type Interval = { low: number; high: number };

/* ---- guide: what to check on this machine ---- */
export interface Guide {
  format: "suspension-guide/1";
  engine: string;
  rulebook: { version: string; overrides: string[] };
  stops: GuideStop[]; // in walking order; `chosen` = in the record's stops
  checkpoints: Record<string, GuideCheckpoint>;
  cautions: GuideCaution[];
  reasons: { id: string; text: string }[]; // why one can't get to it, commonest first
  steps: GuideStep[]; // in walking order, chosen stops only
  other_steps: GuideStep[]; // applicable, but in stops not chosen
  /** Stops and checks the record's purpose hides: shown once another purpose is chosen. */
  hidden_stops: GuideStop[];
  hidden_steps: GuideStep[];
  /** walk: how much one usually begins with; older guides do not say. */
  purposes: Record<Purpose, { usual: StopId[]; offered: StopId[]; walk?: "short" | "full" }>;
  /** may_be_in_the_middle: axles that may have one damper instead of two. */
  machine_kinds: {
    id: MachineKind;
    name: string;
    drawing: string;
    places: string[];
    may_be_in_the_middle: string[];
    usual_damper: DamperKind;
    usual_damper_at: Record<string, DamperKind>;
  }[];
  /** on_kinds: found on these machines only; springs_inside: nobody can count them; not_covered: what of such a corner is not looked at. */
  damper_kinds: {
    id: DamperKind;
    name: string;
    drawing: string;
    on_kinds: MachineKind[] | null;
    springs_around_it: boolean;
    springs_inside: boolean;
    not_covered: string | null;
  }[];
  /** What a manual or a tape can tell, by dotted name in the record's assembly (or of each spring): "shaft.bump_travel". */
  specifications: {
    group: string;
    of_spring: boolean;
    fields: GuideFigure[];
  }[];
  bearing_kinds: { id: string; text: string }[]; // words of bearing
  /** Lengths read in a photograph: how to take it, round coins to lay beside. Older guides have none. */
  measuring?: { how: string[]; coins: { currency: string; name: string; diameter: string }[] };
  materials: { id: string; text: string }[]; // words of body.material
  units: Record<string, string>; // unit -> dimension ("length", "pressure", …)
}
export interface GuideFigure {
  name: string;
  text: string;
  units: string[];
  us_unit: string;
  allowed: Record<string, Allowed>;
  unlikely: { above: number; text: string } | null; // in its only unit; said, and kept all the same
  where: "springs" | "two_springs" | "air" | null; // asked only where the layout has that
}
/** What the engine takes of a number, in one unit; beyond smallest and largest nothing can be measured. */
export interface Allowed {
  least?: number;
  above?: number;
  most?: number;
  smallest: number;
  largest: number;
}
export interface GuideStop {
  id: StopId;
  name: string;
  posture: string;
  chosen: boolean;
  cautions: string[];
}
export interface GuideStep {
  id: string; // "bearing_play@front_left/lower", "ride_feel" where the machine is meant
  checkpoint: string;
  at: string | null;
  part: string | null;
  stop: StopId;
  title: string; // "Play in the lower bearing"
  place: string; // "front left" or "the machine"
  how: string[]; // the checkpoint's two lines, the part filled in
  drawing: string | null; // "bearing_play.how"; null where it would show another layout
  required: boolean; // false: offered, may not be fitted; counts only once answered
  minutes: number;
  worst_category: 1 | 2 | 3 | 4;
  short_walk: boolean; // belongs to the eight-minute walk
  may_be_not_fitted: boolean; // the machine may never have had it
}
export interface GuideCheckpoint {
  id: string;
  name: string;
  stop: StopId;
  how: string[]; // two lines
  tools: string[];
  drawing: string | null; // "bearing_play.how"
  sound: { drawing: string; caption: string } | null;
  worn: { drawing: string; caption: string } | null;
  any_of: boolean; // several words may be true at once (ride_feel)
  words: GuideWord[];
  readings: GuideReading[];
  marks: GuideMarks | null; // shaft_surface only
  recording?: { how: string[] } | null; // takes a trace of the phone's motion sensor; how to lay it and push
  asks_surface: boolean; // as_found | dusty | wet | just_cleaned
  limits: {
    measurand: string;
    name: string;
    unit: string;
    boundaries: Record<string, number>;
    small_is_bad: boolean;
    source: string;
  }[];
}
export interface GuideWord {
  word: string;
  text: string;
  drawing: string | null;
  stop_riding: "DANGER" | "WARNING" | null; // DANGER closes the moving stop at once
  why: string | null; // the sentence for that panel
  danger_with: { checkpoint: string; words: string[]; why: string } | null; // DANGER together with these at the same place and part
}
export interface GuideReading {
  key: string; // "height"
  name: string;
  dimension: string;
  units: string[]; // first = metric default
  us_unit: string; // default where US units are chosen
  instruments: { id: string; name: string; u: string }[]; // first = default
  usual: { low: number; high: number; unit: string } | null; // outside it: a NOTICE, kept all the same
  allowed: Record<string, Allowed>; // by unit
  range_allowed: boolean;
  several: boolean; // bounce peaks: a list of values
}
export interface GuideMarks {
  kinds: { id: string; text: string; drawing: string | null }[];
  feels: { id: string; text: string }[];
  directions: { id: string; text: string }[];
  readings: GuideReading[]; // from_seal, depth, length
}
export interface GuideCaution {
  id: string;
  signal: "DANGER" | "WARNING" | "CAUTION" | "NOTICE";
  title: string;
  lines: string[];
  drawing: string | null;
  before: StopId[]; // empty = always
}

/* ---- record: what was seen ---- */
export type Quantity =
  | string
  | { value: number | string; unit: string; u?: number | string; resolution?: number | string }
  | { low: number | string; high: number | string; unit: string };
export interface InspectionRecord {
  format: "suspension-record/1";
  id: string;
  purpose?: Purpose;
  inspected_on: string;
  inspector?: { name?: string; role?: string };
  stops?: StopId[];
  conditions?: Record<string, unknown>;
  machine: Record<string, unknown> & { kind: MachineKind };
  statements?: { by: string; on?: string; text: string }[];
  assemblies?: Assembly[];
  observations?: Observation[];
}
export type Assembly = Record<string, unknown> & { at: string; damper?: DamperKind };
export interface Observation {
  id?: string;
  checkpoint: string;
  at?: string;
  part?: string;
  status: "checked" | "no_access" | "not_fitted";
  reason?: string;
  seen?: string | string[];
  surface?: "as_found" | "dusty" | "wet" | "just_cleaned";
  readings?: Record<string, unknown>;
  marks?: Record<string, unknown>[];
  instrument?: string;
  note?: string;
  photos?: string[];
  photo_marks?: Record<string, PhotoMark[]>; // by the photo's id
  observed_at?: string;
  by?: string;
}
/** Drawn over a photograph, never burnt in: shares of the upright picture, x and r of its width, y of its height. */
export type PhotoMark =
  | { kind: "ring"; x: number; y: number; r: number; text?: string }
  | { kind: "arrow"; x: number; y: number; to_x: number; to_y: number; text?: string }
  | { kind: "note"; x: number; y: number; text: string }
  | {
      kind: "length";
      x: number;
      y: number;
      to_x: number;
      to_y: number;
      known_x: number;
      known_y: number;
      known_to_x: number;
      known_to_y: number;
      text?: string;
    };
/** What the engine reads from touched points: a length with its standard uncertainty, or why none. */
export type PhotoLength =
  | { format: "suspension-length/1"; refused: string; value: null }
  | {
      format: "suspension-length/1";
      refused: null;
      value: string;
      unit: string;
      u: string;
      shown: string;
      because: string;
    };

/** Readings key "trace": what the motion sensor told of one push. */
export interface Trace {
  time_s: number[];
  acceleration_m_s2: number[];
  released_at_s?: number;
}

/* ---- assessment: made only by the engine ---- */
export interface Assessment {
  format: "suspension-assessment/1";
  record: string;
  engine: string;
  rulebook: { version: string; overrides: string[] };
  inspected_on: string;
  verdict: {
    code: "ride" | "ride_repair_planned" | "repair_before_hard_use" | "park_it" | "not_enough_seen";
    words: string; // "Repair before hard use"
    risk: Risk | null;
    provisional: boolean;
    decided_by: string[];
    not_seen: string[]; // category I and II items not looked at (step ids)
    sentence: string; // one plain sentence: why this verdict
    scope: string; // dampers and springs only; brakes, … not looked at
  };
  machine: {
    zone: Zone;
    coverage: number;
    seen: number;
    applicable: number;
    warp_mm: number | null;
    label: string;
    kind: string;
    kind_name: string;
    drawing: string;
    decided_by: string | null;
  };
  assemblies: {
    at: string;
    place: string;
    damper: DamperKind;
    zone: Zone;
    coverage: number;
    decided_by: string | null;
    seen: number;
    applicable: number;
  }[];
  findings: Finding[]; // canonical order, sound ones too; independent of the record's order
  unchecked: {
    id: string;
    checkpoint: string;
    at: string | null;
    part: string | null;
    title: string;
    place: string;
    stop: StopId;
    reason: string | null;
    reason_text: string;
    category: 1 | 2 | 3 | 4;
    minutes: number;
    chance_changes_verdict: number;
    allowance: Money;
    worth_per_minute: Money;
    could_lead_to: string | null; // a verdict code
  }[]; // best to look at next first
  service: {
    due_fraction: number;
    limiting: "distance" | "seasons" | "heat_cycles" | "race" | "unknown_history" | null;
    due_on: string | null;
    interval: string;
    because: string;
    source: string;
  };
  money: {
    currency: string;
    price_book: string;
    invented: boolean;
    restore_now: Money;
    allowance_unchecked: Money;
    expected_growth: Money;
    horizon: string;
    price_adjustment: { p10: Money; p50: Money; p90: Money } | "not_determined";
    asking_price: { amount: Money; currency: string } | null;
    works: {
      id: string;
      at: string | null;
      part: string | null;
      place: string;
      name: string;
      hours: number;
      labour: Money;
      parts: Money;
      total: Money;
      for: string[];
    }[];
    if_left: { distance: string; cost_if_left: Money }[]; // the same findings left, at several horizons
    cost_now: Money;
    scenarios?: Scenario[]; // fix_now, leave_it, sell_on; assessments of engines before them have none
  };
  cautions: GuideCaution[];
  warnings: { code: string; text: string; about: string | null }[];
}
/** One of three scenarios of one function of the engine; expected is the mean. */
export interface Scenario {
  id: "fix_now" | "leave_it" | "sell_on";
  name: string; // "Leave it 1000 mi"
  expected: Money;
  p10: Money;
  p50: Money;
  p90: Money;
  assumptions: string[]; // what it rests on, one sentence each
  hours?: number; // fix_now
  saved?: Money; // fix_now: on average against leave_it
  refused?: string | null; // leave_it: why it is no choice
  by_distance?: { distance: string; expected: Money; saved: Money }[]; // leave_it
}
export interface Finding {
  id: string;
  number: number | null; // the ring's number, the same on map, list, photo and page; null where nothing is worn past B
  checkpoint: string;
  at: string | null;
  part: string | null;
  title: string; // "Lower bearing loose"
  place: string; // "front left"
  zone: Zone;
  measurand: string | null; // "play_mm"
  probability_beyond: { A: number; B: number; C: number } | null;
  sureness: "clear" | "likely" | "could_be_either" | "by_word" | "not_determined";
  /** U_left (k = 2) and leaves, the same as text, are null where the doubt left cannot be told. */
  settle_with: {
    instrument: string;
    minutes: number;
    U_left: number | null;
    leaves: string | null;
  } | null;
  failure_mode: string | null;
  severity_category: 1 | 2 | 3 | 4 | null;
  likelihood: string | null;
  risk: Risk;
  quantities: Record<string, number | boolean | Interval>;
  doubt: { value: number; U: number; unit: string; by_word: boolean } | null; // of the deciding measurand, k = 2
  limits: {
    unit: string;
    A: number;
    B: number;
    C: number | null;
    source: string;
    small_is_bad: boolean;
  } | null;
  also: {
    measurand: string;
    zone: Zone;
    probability_beyond: { A: number; B: number; C: number } | null;
    limits: Finding["limits"];
    value: number | null;
    U?: number | null;
  }[]; // U: its doubt, k = 2
  marks: {
    kind: string;
    zone: Zone;
    probability_beyond: { A: number; B: number; C: number } | null;
    quantities: Record<string, number | boolean>;
  }[];
  recording?: Recording | null; // what became of a trace; absent from grades kept by older versions
  not_determined: { what: string; needs: string; in_words: string }[]; // in_words: "bump travel left: needs the damper's bump travel"
  not_resolved: string[];
  not_resolved_in_words: string[]; // "height lost with the gas"
  explained_by: string[];
  because: string;
  action: string;
  stop_riding: boolean;
  photos: string[];
  as_seen: string; // the inspector's own words and readings, as entered
  note: string | null;
  instrument: string | null;
  money: {
    cost_now: Money;
    works: string[];
    chance_of_growth: { distance: string; chance: number }[];
    cost_if_left: { distance: string; cost: Money }[];
    cost_avoided: { distance: string; cost: Money }[];
    grows_into: string | null;
  };
}
/** The curve fitted to a trace, or why there is none: e^(−rate t)(cosine cos ωt + sine sin ωt) + level + drift t, t from start_s. */
export type Recording =
  | { refused: string; because: string; curve: null }
  | { refused: null; because: null; curve: Curve; samples_used: number; samples_left_out: number };
export interface Curve {
  start_s: number;
  end_s: number;
  rate_per_s: number;
  angular_rad_s: number;
  cosine: number;
  sine: number;
  level: number;
  drift_per_s: number;
}

/* ---- a report as issued, for programs: what was frozen with its PDF ---- */
export interface Report {
  format: "suspension-report/1";
  id: string;
  number: string; // "2026-00042"
  revision: number;
  inspection: string; // id of the inspection
  issued_at: string; // with its offset from UTC
  issued_at_text: string; // as printed
  issued_by: string;
  page_size: "a4" | "letter";
  tells_verdict: boolean; // whoever has the code may read the verdict on the check page
  verify_code: string;
  pdf_sha256: string;
  certificate_sha256: string; // of the certificate the PDF is signed with, or empty
  photos: string[]; // SHA-256 of the originals whose picture is in it
  engine: string;
  rulebook: string;
  sign_offs: SignedOnGlass[];
  record: InspectionRecord;
  assessment: Assessment;
}
/** Who signed or did not, with what the screen showed then; strokes on a glass 1000 by 333. */
export interface SignedOnGlass {
  id: string;
  inspection: string;
  signed_at: string;
  received_at: string;
  signs: "customer" | "shop";
  how: "drawn" | "typed" | "refused";
  name?: string;
  strokes?: [number, number][][];
  shown: { verdict: string; sum?: string; rulebook?: string };
  disagrees?: string;
  declined?: { what: string; risk?: string }[];
  explained_by?: string;
}

/* ---- what the engine makes of several records of one machine ---- */
export interface Limits {
  unit: string;
  A: number;
  B: number;
  C: number | null;
  source: string;
  small_is_bad: boolean;
}
export interface Visit {
  record: string;
  inspected_on: string;
  purpose: Purpose | null;
  distance: string | null;
}
export interface Trend {
  format: "suspension-trend/1";
  engine: string;
  rulebook: { version: string; overrides: string[] };
  machine: { label: string; kind: MachineKind };
  distance_unit: string;
  inspections: (Omit<Visit, "distance"> & { distance: number | null })[];
  trends: TrendRow[];
  warnings: { code: string; text: string }[];
}
export interface TrendRow {
  id: string;
  checkpoint: string;
  at: string | null;
  part: string | null;
  title: string; // "Play in the lower bearing"
  place: string;
  measurand: string;
  name: string;
  unit: string;
  limits: Limits;
  points: { distance: number; value: number; U: number; by_word: boolean }[];
  line: { distance: number; value: number; low: number; high: number }[]; // with its band, k = 2, past the last reading
  slope_per_1000: number;
  slope_U_per_1000: number;
  resolved: boolean; // the slope is more than its doubt
  now: { value: number; low: number; high: number };
  reduced_chi_square: number;
  next_boundary: {
    ends_zone: Zone;
    boundary: number;
    distance: number | null;
    low: number | null;
    high: number | null;
  } | null; // from the last reading on
  because: string;
}
export interface Comparison {
  format: "suspension-comparison/1";
  engine: string;
  rulebook: { version: string; overrides: string[] };
  machine: { label: string; kind: MachineKind };
  before: Visit;
  now: Visit;
  distance_between: { value: number; unit: string } | null;
  summary: Record<Change, number>;
  spots: Spot[];
  charge: {
    currency: string;
    lines: { work: string; name: string; amount: Money }[];
    total: Money;
    can_be_issued: boolean;
    because: string;
  } | null; // null: not a rental
  warnings: { code: string; text: string }[];
}
export type Change =
  | "worse"
  | "better"
  | "changed"
  | "within_measurement"
  | "same"
  | "only_before"
  | "only_now"
  | "not_comparable";
export interface Spot {
  id: string;
  checkpoint: string;
  at: string | null;
  part: string | null;
  title: string;
  place: string;
  change: Change;
  before: SpotSeen | null;
  now: SpotSeen | null;
  measurands: {
    measurand: string;
    unit: string;
    e_n: number;
    change: Change;
    before: { value: number; U: number; by_word: boolean };
    now: { value: number; U: number; by_word: boolean };
  }[];
  new_marks: string[];
  because: string;
  handover: {
    kind: "damage" | "wear_in_use";
    attribution: "attributable" | "not_attributable";
    why: string[];
  } | null;
}
export interface SpotSeen {
  zone: Zone;
  risk: Risk;
  words: string[];
  marks: string[];
  photos: string[];
}
