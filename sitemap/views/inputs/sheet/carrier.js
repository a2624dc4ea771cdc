// Hands the post to the server, on whatever page; nothing is to be seen of it.
export default function ({ data, parentElement, setStateValue }) {
  const place = parentElement.host.closest('[data-testid="stElementContainer"]');
  if (place) place.style.display = "none";
  POST.heard(data.acks, (edits) => setStateValue("edits", edits), data.page);
}
