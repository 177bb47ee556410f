// A lecture follows its paper: once the file has gone on it is loaded again, and comes back to its stage.

const paper = decodeURIComponent(location.pathname.split("/")[2]);
new EventSource("/events").addEventListener("message", async ({ data }) => {
  if (JSON.parse(data).paper === paper && (await fetch(location)).ok) location.reload();
});
