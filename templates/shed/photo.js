// A photo of a code is made smaller before it goes: a tenth of it is enough to read the code by, and gets through in bad
// reception. Without this script the photo goes as it is, when the button is tapped.
"use strict";
(() => {
  const SIDE = 1600;
  const input = document.getElementById("photo");
  if (!input) return;
  const form = input.form;
  const button = form.querySelector("button");
  const reading = document.getElementById("reading");
  button.hidden = true;

  async function smaller(file) {
    const picture = await createImageBitmap(file);
    const by = Math.min(1, SIDE / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(picture.width * by));
    canvas.height = Math.max(1, Math.round(picture.height * by));
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    const made = await new Promise((then) => canvas.toBlob(then, "image/jpeg", 0.85));
    return new File([made], "photo.jpg", { type: "image/jpeg" });
  }

  input.addEventListener("change", async () => {
    if (!input.files.length) return;
    reading.hidden = false;
    try {
      const photo = new DataTransfer();
      photo.items.add(await smaller(input.files[0]));
      input.files = photo.files;
    } catch (_) {
      // A kind of picture that this browser cannot draw goes as it is.
    }
    form.requestSubmit();
  });

  // Whoever comes back to the page begins anew.
  window.addEventListener("pageshow", () => {
    reading.hidden = true;
    form.reset();
  });
})();
