// What the bench asks of the browser and that is promises all through: photos in its database, and a screen that stays on.
const DATABASE = "onepull photos";
const STORE = "photos";
let opened;

function database() {
  opened ??= new Promise((done, fail) => {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE);
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  return opened;
}

async function inStore(mode, ask) {
  const transaction = (await database()).transaction(STORE, mode);
  const request = ask(transaction.objectStore(STORE));
  return new Promise((done, fail) => {
    // Kept only once the whole transaction is, not when the request is taken.
    transaction.oncomplete = () => done(request.result);
    transaction.onabort = () => fail(transaction.error);
  });
}

/** Keeps a picture under a number, as a JPEG whose longer side has at most so many pixels. */
export async function keepPhoto(id, file, longest) {
  const picture = await createImageBitmap(file);
  const share = Math.min(1, longest / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * share));
  canvas.height = Math.max(1, Math.round(picture.height * share));
  const pen = canvas.getContext("2d");
  // A JPEG has no holes to see through.
  pen.fillStyle = "white";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const jpeg = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.8));
  await inStore("readwrite", (store) => store.put(jpeg, id));
}

/** An address in this page of a kept photo; nothing when it is not here. */
export async function photoAddress(id) {
  const jpeg = await inStore("readonly", (store) => store.get(id));
  return jpeg && URL.createObjectURL(jpeg);
}

/** Forgets all photos but these. */
export async function keepOnly(ids) {
  const kept = await inStore("readonly", (store) => store.getAllKeys());
  const gone = kept.filter((id) => !ids.includes(id));
  for (const id of gone) await inStore("readwrite", (store) => store.delete(id));
}

let lock;
let isWanted = false;

/** Keeps the screen on from now; says whether the browser does. */
export async function keepAwake() {
  isWanted = true;
  try {
    lock ??= await navigator.wakeLock.request("screen");
    // The browser takes it back when the page is out of sight.
    lock.addEventListener("release", () => (lock = undefined));
    if (!isWanted) letSleep();
    return true;
  } catch {
    return false;
  }
}

/** Lets the screen go dark as the device likes. */
export function letSleep() {
  isWanted = false;
  lock?.release();
}

document.addEventListener("visibilitychange", () => {
  if (isWanted && document.visibilityState === "visible") keepAwake();
});
