/* Every checkpoint's pictures: one file (about 60 kB sent), because one request outdoors is better than 140. */
export default import.meta.glob<string>("../../../inspect_app/drawings/*.*.svg", {
  eager: true,
  query: "?raw",
  import: "default",
});
