// The accounts that facts are posted to. Debits are positive; every fact's postings sum to 0.

/**
 * `kind` is asset, owner, income, cost or question (waits for a person's answer).
 * @typedef {{name: string, kind: string}} Account
 */

const EXPENSES = [
  'supplies', 'tools', 'fees', 'advertising', 'storage', 'vehicle_hire', 'helper', 'fuel',
  'parking', 'phone', 'other',
];

/** @type {Record<string, Account>} */
export const ACCOUNTS = {
  cash: { name: 'Cash', kind: 'asset' },
  stock: { name: 'Stock at cost', kind: 'asset' },
  unassigned: { name: 'Paid, piece unknown', kind: 'asset' },
  buyers: { name: 'Buyers', kind: 'asset' },
  owner: { name: 'Owner', kind: 'owner' },
  withdrawn: { name: 'Kept pieces', kind: 'owner' },
  sales: { name: 'Sales', kind: 'income' },
  delivery: { name: 'Delivery charged', kind: 'income' },
  returns: { name: 'Returns', kind: 'income' },
  cost_of_sold: { name: 'Cost of sold pieces', kind: 'cost' },
  written_off: { name: 'Written off', kind: 'cost' },
  fees: { name: 'Fees', kind: 'cost' },
  question_cash: { name: 'In question, money', kind: 'question' },
  question: { name: 'In question', kind: 'question' },
  ...Object.fromEntries(
    EXPENSES.map((name) => [`expense_${name}`, { name: words(name), kind: 'cost' }]),
  ),
};

/** The kinds of accounts that make up what was earned. */
export const RESULT = ['income', 'cost'];

/**
 * The account of an expense; a category from a newer phone counts as `other`.
 * @param {string} category
 */
export function expenseAccount(category) {
  const code = `expense_${category}`;
  return code in ACCOUNTS ? code : 'expense_other';
}

/** @param {string} name */
function words(name) {
  const text = name.replaceAll('_', ' ');
  return text[0].toUpperCase() + text.slice(1);
}
