// A phone comes into the workshop: the page Share at the desk, the door on the phone, and out again.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { accessible, openHouse, picture, roomy, visit, type House } from "./visiting";

const NETWORK = "127.0.0.2"; // what stands in for the workshop's network

let house: House;
let outside = "";
before(async () => {
  house = await openHouse("--share-at", NETWORK);
  outside = house.server.address.replace("127.0.0.1", NETWORK);
});
after(() => house?.close());

for (const light of ["light", "dark"] as const) {
  describe(`sharing, ${light}`, () => {
    test("a phone is let in by the code that the desk shows, and put out again", async () => {
      const desk = await visit(house, "desk", light);
      await desk.page.getByRole("link", { name: "Share", exact: true }).click();
      await desk.page.getByRole("heading", { name: "Share" }).waitFor();
      await desk.page.getByText(/not enciphered/).waitFor();
      await desk.page.getByRole("button", { name: /^(Show a code|Another code)$/ }).click();
      await desk.page.getByText("A new code is shown.").waitFor();
      const code = (await desk.page.locator(".code strong").textContent()) ?? "";
      assert.match(code, /^[2-9A-Z]{4}-[2-9A-Z]{4}$/);
      const image = desk.page.getByRole("img", { name: /QR code/ });
      assert.ok(await image.evaluate((one) => (one as HTMLImageElement).decode().then(() => true)), "the picture is drawn");
      await picture(desk.page, `desk-${light}-share`);
      await accessible(desk.page, "share");
      await roomy(desk.page, "share");

      const phone = await visit(house, "phone", light, `${outside}/#2222-2222`);
      assert.equal(await phone.page.getByLabel("Code").inputValue(), "2222-2222"); // as the picture has it
      assert.equal(new URL(phone.page.url()).hash, "", "the code does not stay in the history");
      await picture(phone.page, `phone-${light}-door`);
      await accessible(phone.page, "the door");
      await roomy(phone.page, "the door");
      await phone.page.getByRole("button", { name: "Pair this device" }).click();
      await phone.page.getByText(/is not the one that is shown/).waitFor();
      await accessible(phone.page, "a wrong code");
      await phone.page.getByLabel("Code").fill(code.toLowerCase());
      await phone.page.getByLabel("What this device is called").fill(`Phone by ${light}`);
      await phone.page.keyboard.press("Enter");
      await phone.page.getByRole("heading", { name: "All jobs" }).waitFor();
      assert.equal(await phone.page.getByRole("link", { name: "Share", exact: true }).count(), 0, "sharing is the desk's");
      await phone.page.goto(`${outside}/#/share`);
      await phone.page.getByText("Sharing is seen to at the workshop's own machine.").waitFor();
      await phone.page.goto(`${outside}/#/`);
      await phone.page.getByRole("button", { name: /^Start from Bar stools/ }).click();
      await phone.page.locator(".board .cover .band.whole").waitFor();

      await desk.page.getByRole("rowheader", { name: `Phone by ${light}` }).waitFor();
      assert.equal(await desk.page.locator(".code strong").count(), 0, "the code is used up");
      await picture(desk.page, `desk-${light}-share-paired`);
      await accessible(desk.page, "who is in");
      await roomy(desk.page, "who is in");
      await desk.page.getByRole("button", { name: `Put out Phone by ${light}` }).click();
      await desk.page.getByText(`Phone by ${light} is put out.`).waitFor();
      await phone.page.reload();
      await phone.page.getByRole("heading", { name: "To the workshop" }).waitFor();
      assert.deepEqual(desk.complaints, []);
      assert.deepEqual(phone.complaints, []);
      await phone.context.close();
      await desk.context.close();
    });
  });
}

test("the page is usable on a small screen, and sharing ends from it", async () => {
  const desk = await visit(house, "phone");
  await desk.page.goto(`${house.server.address}/#/share`);
  await desk.page.getByRole("button", { name: /^(Show a code|Another code)$/ }).click();
  await desk.page.locator(".invitation img").waitFor();
  const code = (await desk.page.locator(".code strong").textContent()) ?? "";
  const letIn = await fetch(`${outside}/api/pair`, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code, name: "The upholsterer's old telephone" }),
  });
  assert.ok(letIn.ok, `${letIn.status}`);
  await desk.page.getByRole("rowheader", { name: /old telephone/ }).waitFor();
  await picture(desk.page, "phone-light-share");
  await accessible(desk.page, "share");
  await roomy(desk.page, "share");
  await desk.page.getByRole("button", { name: "Stop sharing" }).click();
  await desk.page.getByText("The workshop is not shared any more.").waitFor();
  await desk.page.getByText(/open on this machine only/).waitFor();
  await assert.rejects(fetch(outside));
  assert.deepEqual(desk.complaints, []);
  await desk.context.close();
});
