// <table data-matrix>: one stop for the Tab key; arrow keys, Home and End go from cell to cell. What the cell in focus or
// under the pointer says is told in full below. Without this script every cell is a plain link.

const STEPS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };

function linksByRow(table) {
  return [...table.tBodies[0].rows].map((row) => [...row.querySelectorAll(".cell > a")]);
}

function placeOf(rows, link) {
  const row = rows.findIndex((links) => links.includes(link));
  return [row, rows[row].indexOf(link)];
}

function nextPlace(key, ctrl, [row, column], rows) {
  const lastRow = rows.length - 1;
  const lastColumn = rows[row].length - 1;
  if (key === "Home") {
    return [ctrl ? 0 : row, 0];
  }
  if (key === "End") {
    return [ctrl ? lastRow : row, lastColumn];
  }
  const [down, right] = STEPS[key];
  return [Math.min(Math.max(row + down, 0), lastRow), Math.min(Math.max(column + right, 0), lastColumn)];
}

function wordsOf(table, link) {
  const cell = link.parentElement;
  const person = cell.parentElement.cells[0].querySelector("a").textContent;
  const heads = table.querySelectorAll(".matrix-head");
  const task = heads[[...cell.parentElement.querySelectorAll(".cell")].indexOf(cell)].textContent.trim();
  return `${person}, ${task}: ${link.ariaLabel}`;
}

function walkCells(table, told) {
  const rows = linksByRow(table);
  let current = rows[0][0];
  for (const link of rows.flat()) {
    link.tabIndex = -1;
  }
  current.tabIndex = 0;
  const tell = (event) => {
    const link = event.target.closest(".cell > a");
    if (link && told) {
      told.hidden = false;
      told.textContent = wordsOf(table, link);
    }
    return link;
  };
  table.addEventListener("pointerover", tell);
  table.addEventListener("focusin", (event) => {
    const link = tell(event);
    if (link) {
      current.tabIndex = -1;
      link.tabIndex = 0;
      current = link;
    }
  });
  table.addEventListener("keydown", (event) => {
    const link = event.target.closest(".cell > a");
    const isStep = event.key in STEPS || event.key === "Home" || event.key === "End";
    if (!link || !isStep || event.altKey || event.metaKey) {
      return;
    }
    event.preventDefault();
    const [row, column] = nextPlace(event.key, event.ctrlKey, placeOf(rows, link), rows);
    rows[row][column].focus();
  });
}

for (const table of document.querySelectorAll("table[data-matrix]")) {
  if (table.querySelector("tbody .cell > a")) {
    walkCells(table, document.querySelector("[data-matrix-told]"));
  }
}
