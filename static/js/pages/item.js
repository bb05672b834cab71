// The form of one item: what its values mean while they are typed.
import { startLiveMeaning } from "../components/live_meaning.js";

startLiveMeaning();
