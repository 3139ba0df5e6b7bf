import { balanceWords, type OrderBalance } from "../../../src/trials/orderBalance.ts";

/** How evenly the order treats the techniques: how many skaters skate each in their 1st, 2nd … trial. */
export function BalanceTable({ balance, seed }: { balance: OrderBalance; seed: number | null }) {
  const [, places, follows] = balanceWords(balance);
  return (
    <div className="order-note">
      <table className="sheet balance-table" aria-label="Balance of the run order">
        <thead>
          <tr>
            <th>Skaters who skate it in their trial</th>
            {balance.times[0]?.map((_, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the column is its number
              <th key={i} className="right">
                {i + 1}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {balance.techniques.map((technique, t) => (
            <tr key={technique}>
              <td>{technique}</td>
              {balance.times[t]?.map((n, i) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: the column is its number
                <td key={i} className="right number">
                  {n}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <p className="quiet">
        {places} {follows} {seed !== null && `Made from seed ${seed}.`}
      </p>
    </div>
  );
}
