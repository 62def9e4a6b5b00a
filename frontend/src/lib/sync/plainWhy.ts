/* The server's sentence for a person: it names fields as programs do. */

const NAMES: Record<string, string> = {
  label: "What to call it",
  identification_number: "Identification number",
  model_year: "Model year",
  asking_price: "Asking price",
  distance: "Distance",
  name: "Name",
  note: "Note",
};

/** "body.label: write a text of at most 120 characters." -> "What to call it: write …" */
export function plainWhy(why: string): string {
  const cut = /^(?:[a-z_]+(?:\[\d+\])?\.)+([a-z_]+)(?:\[\d+\])?: (.+)$/s.exec(why);
  if (!cut) return why;
  const [, field = "", rest = ""] = cut;
  const name = NAMES[field];
  return name ? `${name}: ${rest}` : rest.charAt(0).toUpperCase() + rest.slice(1);
}
