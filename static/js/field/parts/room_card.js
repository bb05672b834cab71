// Filled in beside this: see the screens that use it.
export const RoomCard = () => null;
