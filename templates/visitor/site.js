// Brings what depends on today up to date, and narrows the list of puppies. Every page is complete without it.
(() => {
  "use strict";

  const DAY = 86400000;
  const days = (iso) => Math.floor(Date.parse(iso + "T00:00:00Z") / DAY);
  const pad = (n) => String(n).padStart(2, "0");
  const many = (n, unit) => (n === 1 ? `1 ${unit}` : `${n} ${unit}s`);

  // Whole months of the calendar; a birthday that its month does not have falls on that month's last day.
  const months = (born, on) => {
    const [from, to] = [born, on].map((day) => new Date(day * DAY));
    const apart = (to.getUTCFullYear() - from.getUTCFullYear()) * 12 + to.getUTCMonth() - from.getUTCMonth();
    const last = new Date(Date.UTC(to.getUTCFullYear(), to.getUTCMonth() + 1, 0)).getUTCDate();
    return to.getUTCDate() < Math.min(from.getUTCDate(), last) ? apart - 1 : apart;
  };

  // Thresholds and wording are those of the program, so that a page reads the same before and after.
  const inWords = (born, on) => {
    const age = on - born;
    const grown = months(born, on);
    if (age < 0) return "not born yet";
    if (age === 0) return "born today";
    if (age < 14) return many(age, "day");
    if (grown < 6) return age % 7 === 0 ? many(age / 7, "week") : `${many(Math.floor(age / 7), "week")} and ${many(age % 7, "day")}`;
    if (grown < 24) return many(grown, "month");
    return many(Math.floor(grown / 12), "year");
  };

  const now = new Date();
  const written = days(document.documentElement.dataset.today);
  // A kennel that pins its day, as a demonstration does, stays on it.
  const pinned = "pinned" in document.documentElement.dataset;
  const visited = pinned ? written : days(`${now.getFullYear()}-${pad(now.getMonth() + 1)}-${pad(now.getDate())}`);
  const today = Math.max(written, visited);

  if (visited > written) {
    for (const age of document.querySelectorAll("time[data-age]")) {
      const born = days(age.dateTime);
      age.textContent = today === born ? inWords(born, today) : `${inWords(born, today)} old`;
    }
  }

  // A page from the future, to this visitor, says its dates and no more.
  for (const until of visited < written ? [] : document.querySelectorAll("[data-until]")) {
    const left = days(until.dataset.until) - today;
    until.textContent = left > 1 ? ` (in ${left} days)` : left === 1 ? " (tomorrow)" : left === 0 ? " (today)" : " (now)";
  }

  for (const ruler of document.querySelectorAll("[data-ruler]")) {
    const [from, to] = ruler.dataset.ruler.split("/").map(days);
    const mark = ruler.querySelector(".ruler-now");
    ruler.style.setProperty("--days", to - from);
    mark.style.setProperty("--age", Math.min(1, Math.max(0, (today - from) / (to - from))));
    mark.hidden = false;
  }

  const form = document.getElementById("narrow");
  if (!form) return;
  const cards = [...document.querySelectorAll("#cards > li")];
  const said = document.getElementById("narrow-count");
  const selects = [...form.querySelectorAll("select")];
  const fits = (card, { name, value }) => !value || (name === "leaves" ? card.dataset.leaves !== "" && card.dataset.leaves <= value : card.dataset[name] === value);

  const narrow = () => {
    let shown = 0;
    for (const card of cards) {
      card.hidden = !selects.every((select) => fits(card, select));
      if (!card.hidden) shown += 1;
    }
    said.textContent = shown ? `${many(shown, "puppy").replace("puppys", "puppies")} shown, of ${cards.length}.` : "No puppy is like that just now.";
  };

  const remember = () => {
    const query = new URLSearchParams(selects.filter((select) => select.value).map((select) => [select.name, select.value])).toString();
    try {
      history.replaceState(null, "", query ? `?${query}` : location.pathname);
    } catch {
      // Some browsers refuse this for files opened from a disk; the list is narrowed all the same.
    }
  };

  const asked = new URLSearchParams(location.search);
  for (const select of selects) {
    const value = asked.get(select.name) || "";
    select.value = [...select.options].some((option) => option.value === value) ? value : "";
  }
  form.addEventListener("change", () => { narrow(); remember(); });
  form.addEventListener("reset", () => setTimeout(() => { narrow(); remember(); }));
  form.addEventListener("submit", (event) => event.preventDefault());
  form.classList.add("ready");
  narrow();
})();
