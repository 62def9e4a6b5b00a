/* Whole dampers, whole machines and cautions: one file, asked for by start, cautions and map. */
export default import.meta.glob<string>(
  "../../../inspect_app/drawings/{machine,damper,caution}_*.svg",
  {
    eager: true,
    query: "?raw",
    import: "default",
  },
);
