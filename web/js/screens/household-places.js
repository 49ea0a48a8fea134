import { html } from "../../vendor/lit/index.js";
import { ScreenElement } from "../ui/screen-element.js";
import { countWords, moneyWords } from "../ui/words.js";
import { RecordList } from "./record-list.js";

/** Where pieces stand. */
export class HouseholdSpots extends RecordList {
  static recordType = "spot";

  static one = "a spot";

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    return [
      { name: "name", label: "Name", as: "text", hint: "Garage left, shed, hall" },
      { name: "litres", label: "Room, litres", as: "int", hint: "a metre by a metre by a metre is 1,000" },
      { name: "note", label: "Note", as: "long" },
    ];
  }

  /** @param {any} spot */
  line(spot) {
    const here = this.household.where("piece", "spot_id", spot.id).length;
    return { title: spot.name, note: countWords(here, "piece") };
  }
}

/** What gets used up. */
export class HouseholdSupplies extends RecordList {
  static recordType = "supply";

  static one = "a supply";

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    return [
      { name: "name", label: "Name", as: "text" },
      { name: "unit", label: "Measured in", as: "text", hint: "ml, sheet, strip" },
      { name: "cost", label: "Price of a pack", as: "money" },
      { name: "milliunits", label: "How much is in a pack", as: "thousandths", hint: "in that measure: 473" },
    ];
  }

  /** @param {any} supply */
  line(supply) {
    const pack = supply.milliunits ? ` for ${supply.milliunits / 1000} ${supply.unit ?? ""}` : "";
    return { title: supply.name, note: `${moneyWords(supply.cost)}${pack}` };
  }
}

/** Spots and supplies on one page. */
export class HouseholdPlaces extends ScreenElement {
  render() {
    return html`<section class="stack">
        <h2>Spots</h2><household-spots .household=${this.household}></household-spots>
      </section>
      <section class="stack">
        <h2>Supplies</h2><household-supplies .household=${this.household}></household-supplies>
      </section>`;
  }
}

customElements.define("household-spots", HouseholdSpots);
customElements.define("household-supplies", HouseholdSupplies);
customElements.define("household-places", HouseholdPlaces);
