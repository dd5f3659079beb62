/** What the page is made of, as its licences ask: at the end of the page, and in a comment that make_page.mjs writes. */

import terms from "../../../LICENSE";
import inside from "./licences.json";
import { texts } from "./texts";

export function Licences() {
  return (
    <footer>
      <details>
        <summary>{texts.licences}</summary>
        <p>{texts.inside}</p>
        <ul>{inside.map(({ name, licence, copyright }) => <li key={name}>{name}: {copyright}. {licence}</li>)}</ul>
        {/* The same words for all under it; the line with its copyright stands above. */}
        {terms.split("\n\n").filter((part) => !part.startsWith("Copyright")).map((part) => <p key={part}>{part}</p>)}
      </details>
    </footer>
  );
}
