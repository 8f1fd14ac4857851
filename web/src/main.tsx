import "./app.css";
document.title = 'Lampwright';
