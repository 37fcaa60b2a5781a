// A photo made small on the phone and kept like any entry, with or without a network. Loaded where a page has such a form.

import { isId, makeEntry, newId } from "./entries.js";
import * as outbox from "./outbox.js";

const LONGEST = 1600;
const QUALITIES = [0.82, 0.7, 0.55];
const WANTED_BYTES = 900_000;

/** A file or Blob of a picture as a smaller JPEG: {sha256, data: Blob, width, height}; rejects with code "photo_not_read". */
export async function reduce(file) {
  let picture;
  try {
    picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    throw new outbox.OutboxError("photo_not_read");
  }
  const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff"; // what is clear in a picture is white on paper
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  let data = null;
  for (const quality of QUALITIES) {
    data = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
    if (!data) throw new outbox.OutboxError("photo_not_read");
    if (data.size <= WANTED_BYTES) break;
  }
  const mark = await crypto.subtle.digest("SHA-256", await data.arrayBuffer());
  const sha256 = Array.from(new Uint8Array(mark), (byte) => byte.toString(16).padStart(2, "0")).join("");
  return { sha256, data, width: canvas.width, height: canvas.height };
}

/** Keeps a photo of an entry on the phone; gives back the id of the photo's own entry. */
export async function keepPhoto({ file, of, note = "", project, id = "" }) {
  const small = await reduce(file);
  const body = { of, blob: small.sha256 };
  if (note.trim()) body.note = note.trim();
  const entry = makeEntry({
    kind: "photo",
    body,
    project,
    by: await outbox.person(),
    device: await outbox.device(),
    id: isId(id) ? id : newId(),
  });
  await outbox.keep(entry, { blobs: [{ sha256: small.sha256, data: small.data }] });
  return entry.id;
}
