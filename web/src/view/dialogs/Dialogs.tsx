// Which window is open, if any.

import { text } from "../../text";
import { useApp } from "../app-context";
import { AboutDialog, FaultDialog, KeepingDialog, LeavingDialog } from "./Statements";
import { CompareDialog, KeepPlanDialog } from "./Plans";
import { BoardFilesDialog } from "./BoardFilesDialog";
import { Dialog } from "./Dialog";
import { FilesOutDialog } from "./FilesOutDialog";
import { KeysDialog } from "./KeysDialog";
import { Menu } from "./Menu";
import { PasteDialog } from "./PasteDialog";
import { PhotographDialog } from "../photograph/PhotographDialog";
import { PrintDialog } from "./PrintDialog";
import { ClashDialog, ShelfDialog } from "./ShelfDialogs";
import { WorkshopDialog } from "./WorkshopDialog";

export function Dialogs() {
  const app = useApp();
  const close = (): void => {
    app.dialog.value = null;
  };
  switch (app.dialog.value) {
    case null:
    // It is shown where its picture stands.
    case "face":
      return null;
    case "menu":
      return <Menu close={close} />;
    case "keys":
      return <KeysDialog close={close} />;
    case "about":
      return <AboutDialog close={close} />;
    case "keeping":
      return <KeepingDialog close={close} />;
    case "paste":
      return <PasteDialog close={close} />;
    case "photograph":
      return <PhotographDialog close={close} />;
    case "board-files":
      return <BoardFilesDialog close={close} />;
    case "print":
      return <PrintDialog close={close} />;
    case "files-out":
      return <FilesOutDialog close={close} />;
    case "keep":
      return <KeepPlanDialog close={close} />;
    case "compare":
      return <CompareDialog close={close} />;
    case "shelf":
      return <ShelfDialog close={close} />;
    case "workshop":
      return <WorkshopDialog close={close} />;
    case "clash":
      return <ClashDialog close={close} />;
    case "leaving":
      return <LeavingDialog close={close} />;
    case "fault":
      return app.fault.value === null ? (
        <Dialog heading={text.trouble.heading} close={close}>
          <p>{text.trouble.session}</p>
        </Dialog>
      ) : (
        <FaultDialog fault={app.fault.value} close={close} />
      );
  }
}
