document.title="Lampwright";
